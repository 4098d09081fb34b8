"""The desk: a window in which a game is played, drawn from its trace and its plant alone."""

import os

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
