"""What a board gets of its game: facts, and one console after another, built here from the game's modules.

A bundle (hil/bundle) gives these functions other bodies, which take what they give out of images that
the host made: no module of the game is on the board.
"""

import sys

from firmware.console import Console
from firmware.play.roll import Roll

RECORDS = 96  # the trace's ring; the link takes records out after every step


class Facts:
    """What a board must know of its game without a console."""

    def __init__(self, package: str) -> None:
        game = _game(package)
        self.name = package.rpartition(".")[2]
        self.switches = len(game.WIRING.SWITCHES)
        self.settings = Roll([row[0] for row in game.SETTINGS])


def facts(package: str) -> Facts:
    """The facts of the game in a package."""
    return Facts(package)


def console(package: str) -> Console:
    """A console that is set up and has not begun. The one before it is to be let go."""
    fresh: Console = object.__new__(Console)
    fresh.set_up(_game(package), RECORDS)
    return fresh


def let_go() -> None:
    """Drop what a bundle's console leaves behind when it is let go itself; here there is nothing."""


def wiring(package: str) -> "Any":
    """The game's wiring tables."""
    return _game(package).WIRING


def _game(package: str) -> "Any":
    __import__(package + ".game")
    return sys.modules[package + ".game"]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
