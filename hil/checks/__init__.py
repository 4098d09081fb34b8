"""What `inlane check` checks: each check is one small function in a list."""
