"""What the board needs of a wiring table, as arrays and bytes: made on the host, or on the chip."""

from firmware.devices import cells, scan


def tables(wiring: "Any") -> "tuple[Any, Any, bytes, int]":
    """Cells of the core and of the scan, lamp places (column by column), coil millivolts that are too low."""
    places = bytes([(row[3] - 1) * 8 + row[2] - 1 for row in wiring.LAMPS])
    low = getattr(wiring, "COIL_VOLTS_LOW_MV", 0)
    return cells.build(wiring), scan.build(wiring.SWITCHES), places, low


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
