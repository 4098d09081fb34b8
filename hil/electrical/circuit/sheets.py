"""The sheets of the reference circuit by name, and the whole circuit made of them."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from hil.electrical.circuit import chains, drives, guard, inputs, lamps, logic, sound, supply
from hil.electrical.circuit.netlist import Circuit, build
from hil.electrical.circuit.parts import Part

REVISION = "B"  # A was drawn by hand and never built


@dataclass(frozen=True)
class Sheet:
    """One sheet: its title, and what makes its parts."""

    title: str
    parts: Callable[[], list[Part]]


SHEETS = {
    "guard": Sheet("Guard: coils are possible only while the code feeds it", guard.parts),
    "supply": Sheet("Coil supply, from a bought and enclosed unit to the coil bus", supply.parts),
    "drive_pulsed": Sheet("Drive, pulsed: one of 24", drives.pulsed_parts),
    "drive_held": Sheet("Drive, held by PWM: one of 2", drives.held_parts),
    "inputs": Sheet("Switch inputs: one row, one column, one direct input", inputs.parts),
    "lamps": Sheet("Lamp matrix: one column, one row, and the blanking", lamps.parts),
    "logic": Sheet("Logic supply, relay supply and the Pico", logic.parts),
    "chains": Sheet("Output registers: drives, held pair, columns", chains.parts),
    "sound": Sheet("Sound box at the cue line: not on the board", sound.parts),
    "readers": Sheet("Input registers: rows, direct inputs, drains", chains.reader_parts),
}


def circuit() -> Circuit:
    """The whole reference circuit. Raises UsageError: a designator twice."""
    return build(replace(part, sheet=name) for name, sheet in SHEETS.items() for part in sheet.parts())
