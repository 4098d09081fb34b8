"""The names that the scripts of one game may use."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from firmware.devices.switches import class_times
from hil.bench.names import Names, of_console
from hil.game_tables import setting_rows, switch_rows
from hil.games import Game

MACHINE = ("coils", "reflexes", "switches", "lamps", "display", "score")  # `covers` takes these too


class Range(NamedTuple):
    """The values a setting or a shot's option takes."""

    least: int
    most: int
    unit: str = ""
    usual: int = 0


@dataclass(frozen=True)
class Vocabulary:
    """Everything that scripts of one game may name, with the ranges of its numbers.

    `still` holds each switch's debounce times (ms closing, ms opening); `shots` each shot's options.
    """

    names: Names
    debounce: dict[str, tuple[int, int]] = field(default_factory=dict)
    shots: dict[str, dict[str, Range]] = field(default_factory=dict)
    settings: dict[str, Range] = field(default_factory=dict)
    features: Sequence[str] = ()
    places: Sequence[str] = ()


def of_game(game: Game) -> Vocabulary:
    """Everything a script for `game` may name. Raises GameError."""
    names = of_console(game.console())
    routes = game.tables("routes")
    return Vocabulary(
        names,
        debounce={row.name: class_times(row.debounce_class, row.name) for row in switch_rows(game.wiring)},
        shots={
            shot: {name: Range(least, most, usual=usual) for name, least, most, usual, _weights in options}
            for shot, _start, options, *_ in routes.SHOTS
        },
        settings={
            row.name: Range(row.least, row.most, row.unit, row.default) for row in setting_rows(game.module)
        },
        features=(*names.regions, *MACHINE),
        places=(*(name for name, *_ in routes.DEVICES), "playfield"),
    )
