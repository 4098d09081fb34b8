"""A game's literal tables, read as rows with named fields.

A game writes its tables as plain tuples, because those cost a board least. On the host this module is the
only one that knows the order of a row's entries: everybody else calls a reader below and uses its fields.
Positions in a table are the ids that the trace and the wire use, so every reader keeps the order.
"""

from typing import TYPE_CHECKING, NamedTuple

from firmware.play.interfaces import GameModule as GameModule
from firmware.play.interfaces import WiringTables as WiringTables

if TYPE_CHECKING:
    from firmware.devices.wiring import Wiring

MATRIX_ROW_OF_DIRECT = 0  # the `row` of a switch that has an input of its own


class SwitchRow(NamedTuple):
    """A switch. In row 0 it is a direct input and `column` is the input's number; both count from 1."""

    name: str
    debounce_class: str
    zone: str
    row: int
    column: int

    @property
    def is_direct(self) -> bool:
        """Whether the switch has an input of its own instead of a crossing of the matrix."""
        return self.row == MATRIX_ROW_OF_DIRECT


class LampRow(NamedTuple):
    """A lamp; `row` and `column` of the lamp matrix count from 1, row 0 is the chain of addressable LEDs."""

    name: str
    colour: str
    row: int
    column: int


class CoilRow(NamedTuple):
    """A coil on `drive` (from 1). `pulse_ms` −1: held on; `longest_ms` 0: may stay on without limit."""

    name: str
    kind: str
    pulse_ms: int
    longest_ms: int
    rest_ms: int
    drive: int


class ReflexRow(NamedTuple):
    """A switch that fires a coil without the rules; `lockout_ms` counts from the start of the pulse."""

    switch: str
    coil: str
    pulse_ms: int
    lockout_ms: int


class FlipperRow(NamedTuple):
    """A flipper with two windings, which a button fires; `longest_ms` limits the strong winding's pulse."""

    button: str
    stroke_switch: str
    strong: str
    hold: str
    longest_ms: int


class HeatRow(NamedTuple):
    """Heat of a coil for the limiter: its current, the on-time (`budget_ms`) that heats it up when cold, and
    the share of time, in percent, that it may be on without limit."""

    coil: str
    current_ma: int
    budget_ms: int
    percent: int


class DisplayRow(NamedTuple):
    """A display of `cells` characters, each of so many segments; `shows` is "text", "score" or "count"."""

    name: str
    cells: int
    segments: int
    shows: str


class ChimeRow(NamedTuple):
    """A cue as strokes of coils, each with the ms until the next."""

    cue: str
    strokes: tuple[tuple[str, int], ...]


TWO_LINES = (DisplayRow("line.1", 16, 14, "text"), DisplayRow("line.2", 16, 14, "text"))
"""The displays of a game that describes none."""


class SettingRow(NamedTuple):
    """An operator setting: a whole number of `unit` from `least` to `most`."""

    name: str
    default: int
    least: int
    most: int
    unit: str
    meaning: str


def switch_rows(wiring: "Wiring") -> list[SwitchRow]:
    """Every switch, by id."""
    return [SwitchRow(*row) for row in wiring.SWITCHES]


def lamp_rows(wiring: "Wiring") -> list[LampRow]:
    """Every lamp, by id."""
    return [LampRow(*row) for row in wiring.LAMPS]


def coil_rows(wiring: "Wiring") -> list[CoilRow]:
    """Every coil, by id."""
    return [CoilRow(*row) for row in wiring.COILS]


def reflex_rows(wiring: "Wiring") -> list[ReflexRow]:
    """Every reflex, in the order of the table."""
    return [ReflexRow(*row) for row in wiring.REFLEXES]


def flipper_rows(wiring: "Wiring") -> list[FlipperRow]:
    """Every flipper, in the order of the table."""
    return [FlipperRow(*row) for row in wiring.FLIPPERS]


def heat_rows(wiring: WiringTables) -> list[HeatRow]:
    """The heat of every coil that has a row; none when the wiring has no HEAT."""
    return [HeatRow(*row) for row in getattr(wiring, "HEAT", ())]


def display_rows(wiring: WiringTables) -> tuple[DisplayRow, ...]:
    """Every display, by number."""
    rows = getattr(wiring, "DISPLAYS", ())
    return tuple(DisplayRow(*row) for row in rows) or TWO_LINES


def chime_rows(wiring: WiringTables) -> list[ChimeRow]:
    """Every cue that chimes play; none in a machine without chimes."""
    return [ChimeRow(*row) for row in getattr(wiring, "CHIMES", ())]


def setting_rows(module: GameModule) -> list[SettingRow]:
    """Every operator setting, by id."""
    return [SettingRow(*row) for row in module.SETTINGS]
