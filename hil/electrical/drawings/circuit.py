"""Writes the sheets of the reference circuit and its parts list."""

from collections.abc import Callable
from pathlib import Path

from hil.electrical.drawings.drives import held, pulsed
from hil.electrical.drawings.guard import guard
from hil.electrical.drawings.inputs import inputs
from hil.electrical.drawings.lamps import lamps
from hil.electrical.drawings.logic import logic
from hil.electrical.drawings.parts import table
from hil.electrical.drawings.sheet import Sheet
from hil.electrical.drawings.supply import supply

SHEETS: dict[str, Callable[[], Sheet]] = {
    "drive_pulsed": pulsed,
    "drive_held": held,
    "guard": guard,
    "supply": supply,
    "inputs": inputs,
    "lamps": lamps,
    "logic": logic,
}
HEAD = """# Parts of the reference circuit

Written by `python -m hil.electrical.drawings`; change its `parts.py` or `values.py` instead of this file.
A quantity follows from your game's wiring table. "mem": from memory, check the data sheet of what you buy.

"""


def write(folder: Path) -> list[Path]:
    """Write every sheet and the parts list into `folder`; returns the files. Raises UsageError."""
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    for name, make in SHEETS.items():
        path = folder / f"{name}.svg"
        make().write(path)
        made.append(path)
    path = folder / "parts.md"
    path.write_text(HEAD + table(), encoding="utf-8")
    return [*made, path]
