"""A simulated player: draws shots from a game's table of odds with a seed, so every run can be repeated."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from firmware.base.chance import Stream
from firmware.base.errors import GameError

STREAM = 13  # number of the random stream; the plant has others
SETTINGS_STREAM = 14
SHAKES = (("tilt", 12), ("start", 3), ("slam", 1))  # in 2,000 decisions of a rough player
DECISIONS = 2_000
USUAL_PER_CENT = 50  # how often a setting keeps its usual value in a mixed season
LEAST_THINK_MS = 60
MOST_THINK_MS = 900
BUTTON_PER_CENT = 30  # how often a flipper button is pressed before a shot


class SeasonTables(Protocol):
    """A game's host/season.py: for each skill, its shots with their weights."""

    SHOT_ODDS: Sequence[tuple[str, Sequence[tuple[str, int]]]]


class SettingRange(Protocol):
    """An operator setting and the values that it takes."""

    @property
    def name(self) -> str:
        """As in the game's settings."""

    @property
    def least(self) -> int:
        """Its lowest value."""

    @property
    def most(self) -> int:
        """Its highest value."""


class SimulatedPlayer:
    """A player of a given skill who does not look at the machine.

    `odds` lists (shot, weight), as in the game's SHOT_ODDS; higher skill, lower weight of drains.
    """

    def __init__(self, odds: Sequence[tuple[str, int]], seed: int, rough: bool = False) -> None:
        """`rough`: now and then the player shakes the machine or holds start."""
        self._rough = rough
        self._shots = [shot for shot, _ in odds]
        self._weights = tuple(weight for _, weight in odds)
        self._chance = Stream(seed, STREAM)

    def look(self, lamps: Mapping[str, int], now_ms: int) -> None:
        """Nothing: the player does not look."""

    def choose_balls(self, waiting: int, moving: int) -> int:
        """All that wait."""
        return waiting

    def choose_shot(self) -> str:
        """The next shot of a ball at a flipper."""
        return self._shots[self._chance.weighted(self._weights)]

    def draw_think_ms(self) -> int:
        """How long (ms) the player waits before the shot."""
        return LEAST_THINK_MS + self._chance.below(MOST_THINK_MS - LEAST_THINK_MS)

    def choose_button(self) -> str:
        """The flipper button pressed before the shot, or ""."""
        if self._chance.below(100) >= BUTTON_PER_CENT:
            return ""
        return "button.right" if self._chance.below(2) else "button.left"

    def choose_aim(self) -> str:
        """The flipper button that a rough player presses before a plunge, or ""."""
        return self.choose_button() if self._rough else ""

    def choose_nudge(self) -> str:
        """The cabinet switch that a rough player closes before the shot, or ""."""
        if not self._rough:
            return ""
        left = self._chance.below(DECISIONS)
        for switch, weight in SHAKES:
            left -= weight
            if left < 0:
                return switch
        return ""

    def choose_player_count(self, most: int) -> int:
        """How many players start the game, 1 to `most`."""
        return 1 + self._chance.below(most)


def mixed_settings(settings: Sequence[SettingRange], seed: int) -> dict[str, int]:
    """Settings drawn by seed: about half of them anywhere in their range, the others left out."""
    chance = Stream(seed, SETTINGS_STREAM)
    drawn = {}
    for setting in settings:
        if chance.below(100) >= USUAL_PER_CENT:
            drawn[setting.name] = setting.least + _spread(chance, setting.most - setting.least)
    return drawn


def mixed_skill(season: SeasonTables, seed: int) -> str:
    """One of the game's skills, drawn by seed."""
    skills = [skill for skill, _ in season.SHOT_ODDS]
    return skills[Stream(seed, SETTINGS_STREAM + 1).below(len(skills))]


def _spread(chance: Stream, span: int) -> int:
    """0 to `span`; in a wide one low values are drawn as often as high ones."""
    if span < 1 << 10:
        return chance.below(span + 1)
    while span >= 1 << 10 and chance.below(3):
        span //= 10
    return span * chance.below(1001) // 1000


def odds_of(season: SeasonTables, skill: str) -> Sequence[tuple[str, int]]:
    """The shot odds of a skill. Raises GameError that names the known skills."""
    found = dict(season.SHOT_ODDS).get(skill)
    if found is None:
        skills = ", ".join(name for name, _ in season.SHOT_ODDS)
        raise GameError(f"there is no skill '{skill}'; there are {skills}")
    return found
