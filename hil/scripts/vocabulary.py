"""What a script may name: everything one game has."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from firmware.devices.switches import class_times
from hil.games import Game
from hil.names import Names, of_console

MACHINE = ("coils", "reflexes", "switches", "lamps", "display", "score")  # what scripts cover beside features


class Range(NamedTuple):
    """The values a setting or a shot's option takes."""

    least: int
    most: int
    unit: str = ""
    usual: int = 0


@dataclass(frozen=True)
class Vocabulary:
    """Names of one game, with what is needed to check a script before it runs.

    `still` holds each switch's debounce times (ms closing, ms opening); `shots` each shot's options.
    """

    names: Names
    still: dict[str, tuple[int, int]] = field(default_factory=dict)
    shots: dict[str, dict[str, Range]] = field(default_factory=dict)
    settings: dict[str, Range] = field(default_factory=dict)
    features: Sequence[str] = ()
    places: Sequence[str] = ()


def of_game(game: Game) -> Vocabulary:
    """Everything a script for `game` may name. Raises GameError."""
    names = of_console(game.console())
    routes = game.host("routes")
    return Vocabulary(
        names,
        still={row[0]: class_times(row[1], row[0]) for row in game.wiring.SWITCHES},
        shots={row[0]: {o[0]: Range(o[1], o[2], usual=o[3]) for o in row[2]} for row in routes.SHOTS},
        settings={row[0]: Range(row[2], row[3], row[4], row[1]) for row in game.module.SETTINGS},
        features=(*names.regions, *MACHINE),
        places=(*(row[0] for row in routes.DEVICES), "playfield"),
    )
