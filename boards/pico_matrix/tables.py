"""What the board needs of its game's wiring, as arrays and bytes."""

from firmware.devices import chain, limiter_state, scan, supply_monitor


def tables(wiring: "Any") -> "tuple[Any, Any, bytes, int, int, bytes]":
    """State of the limiter and of the scan, lamp places (column by column), coil millivolts that are too
    low, drives whose drains are judged, colours of a chain (none: a matrix)."""
    chained = chain.chained(wiring)
    if chained:
        places = bytes([row[3] - 1 for row in wiring.LAMPS])
    else:
        places = bytes([(row[3] - 1) * 8 + row[2] - 1 for row in wiring.LAMPS])
    colours = chain.words(wiring) if chained else b""
    low = getattr(wiring, "COIL_VOLTS_LOW_MV", 0)
    watched = supply_monitor.watched(wiring)
    return limiter_state.build(wiring), scan.build(wiring.SWITCHES), places, low, watched, colours


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
