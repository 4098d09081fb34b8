"""The bench and the tools around it: scripts, targets, checks, sums, drawings and the `inlane` command."""
