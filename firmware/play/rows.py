"""The order of the entries in a wiring table's rows: this module alone knows it.

A game writes its tables as plain tuples, because those cost a board least. The functions read one column of a
table, or the row of one part, at set-up.
"""


def names(rows: "Sequence[NamedRow]") -> "tuple[str, ...]":
    """The names of a table of switches, lamps, coils or settings, by id."""
    return tuple([row[0] for row in rows])


def debounce_classes(switches: "Sequence[SwitchRow]") -> "list[str]":
    """The debounce class of every switch, by id; see devices.switches."""
    return [row[1] for row in switches]


def zones(switches: "Sequence[SwitchRow]") -> "list[str]":
    """The zone of every switch, by id: playfield, device or cabinet."""
    return [row[2] for row in switches]


def usual_pulses(coils: "Sequence[CoilRow]") -> "tuple[int, ...]":
    """The usual pulse of every coil in ms, by id; −1 for one that is held on."""
    return tuple([row[2] for row in coils])


def shown(displays: "Sequence[DisplayRow]") -> "list[str]":
    """What every display shows, by number: text, score or count."""
    return [row[3] for row in displays]


def longest_on(coil: "CoilRow") -> int:
    """The longest on-time of a coil in ms; 0 for one that may stay on."""
    return coil[3]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TypeAlias

    from firmware.play.interfaces import CoilRow, DisplayRow, LampRow, SettingRow, SwitchRow

    NamedRow: TypeAlias = "SwitchRow | LampRow | CoilRow | SettingRow"
