"""A player without eyes: draws shots from a game's table of odds, seeded and so repeatable."""

from collections.abc import Sequence
from typing import Any, Protocol

from firmware.base.chance import Stream
from firmware.base.errors import GameError

STREAM = 13  # apart from the plant's own streams
LEAST_THINK_MS = 60
MOST_THINK_MS = 900
BUTTON_PER_CENT = 30  # how often a flipper button is pressed before a shot


class Balls(Protocol):
    """What a player sees of the plant."""

    balls: Sequence[Any]
    devices: dict[str, Any]


class Player:
    """Decides what is done next: a shot of a waiting ball, a plunge, or waiting.

    `odds` is the game's SHOT_ODDS[skill]: rows (shot, weight). Higher skill, lower weight of drains.
    """

    def __init__(self, odds: Sequence[tuple[str, int]], seed: int) -> None:
        self._shots = [row[0] for row in odds]
        self._weights = tuple(row[1] for row in odds)
        self._chance = Stream(seed, STREAM)

    def shot(self) -> str:
        """The next shot of a ball at a flipper."""
        return self._shots[self._chance.weighted(self._weights)]

    def think_ms(self) -> int:
        """How long the ball is held before the shot."""
        return LEAST_THINK_MS + self._chance.below(MOST_THINK_MS - LEAST_THINK_MS)

    def presses(self) -> str:
        """The flipper button pressed meanwhile, or ""."""
        if self._chance.below(100) >= BUTTON_PER_CENT:
            return ""
        return "button.right" if self._chance.below(2) else "button.left"

    def players(self, most: int) -> int:
        """How many play this game."""
        return 1 + self._chance.below(most)


def odds_of(season: Any, skill: str) -> Sequence[tuple[str, int]]:
    """The shot odds of a skill. Raises GameError naming the skills there are."""
    found: Sequence[tuple[str, int]] | None = dict(season.SHOT_ODDS).get(skill)
    if found is None:
        skills = ", ".join(row[0] for row in season.SHOT_ODDS)
        raise GameError(f"there is no skill '{skill}'; there are {skills}")
    return found
