"""Where a device's consoles come from: built here from the game's modules.

A bundle (hil/bundle) puts a function of the same name in this one's place, which takes the console
out of an image that the host made.
"""

from firmware.console import Console

RECORDS = 96  # the trace's ring; the link takes records out after every step


def console(game: "Any") -> Console:
    """A console that is set up and has not begun."""
    fresh: Console = object.__new__(Console)
    fresh.set_up(game, RECORDS)
    return fresh


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
