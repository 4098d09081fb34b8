"""The desk: a window in which a game is played, drawn from the trace and the plant alone."""

import os

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
