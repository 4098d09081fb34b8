"""What `inlane check` looks at: each check is one small function in a list."""
