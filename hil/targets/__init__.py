"""Where a console runs: in this process, or behind a link."""
