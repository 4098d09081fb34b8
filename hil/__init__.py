"""The bench and the tools around it: scripts, targets, checks, sums, drawings and the `inlane` command."""

import os

if os.getenv("INLANE_COMPILED"):  # before any module that it may replace is imported
    from hil import compiled

    compiled.use()
