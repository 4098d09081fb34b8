"""What the board needs of its game's wiring, as arrays and bytes."""

from firmware.devices import chain, limiter_state, scan, supply_monitor


def board_tables(wiring: "Wiring") -> "BoardTables":
    """State of limiter and scan, lamp places, low coil mV, judged and undeclared drives, colours, digits.

    Places go column by column, drives are bits; without an LED chain there are no colours. Digits are those
    of each display of numbers; none: two lines of text.
    """
    chained = chain.chained(wiring)
    if chained:
        places = bytes([place - 1 for _name, _colour, _row, place in wiring.LAMPS])
    else:
        places = bytes([(column - 1) * 8 + row - 1 for _name, _colour, row, column in wiring.LAMPS])
    colours = chain.words(wiring) if chained else b""
    contacts = scan.build(wiring.SWITCHES, getattr(wiring, "INVERTED", ()))
    low = getattr(wiring, "COIL_VOLTS_LOW_MV", 0)
    digits = bytes([row[1] for row in getattr(wiring, "DISPLAYS", ())])
    watched = supply_monitor.watched(wiring)
    undeclared = supply_monitor.undeclared(wiring)
    return limiter_state.build(wiring), contacts, places, low, watched, undeclared, colours, digits


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array

    from firmware.devices.wiring import Wiring

    BoardTables = tuple[array[int], array[int], bytes, int, int, int, bytes, bytes]
