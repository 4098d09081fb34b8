"""Writes the sheets of the reference circuit and its parts list."""

from collections.abc import Callable
from pathlib import Path

from hil.drawings.drives import held, pulsed
from hil.drawings.guard import guard
from hil.drawings.inputs import inputs
from hil.drawings.lamps import lamps
from hil.drawings.logic import logic
from hil.drawings.parts import table
from hil.drawings.sheet import Sheet
from hil.drawings.supply import supply

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

Written by `python -m hil.drawings`; change `hil/drawings/parts.py` or `values.py` instead of this file.
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
