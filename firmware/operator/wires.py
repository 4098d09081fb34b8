"""Where a wire is and what colour it has: row and column, or a direct input's number.

Colour codes of IEC 60757, two of them for a wire with a ring. The scheme is our own, the one of the work
sheets (hil/electrical/worksheets): the first colour says what the wire is, the ring which. Green and yellow
are no signal's: together they are the earth's.
"""

RINGS = ("BN", "RD", "OG", "BU", "VT", "BK", "WH", "GY", "PK", "TQ")
ROW = "WH"
COLUMN = "GY"
DIRECT = ("BU", "VT")
GROUP = 8


def place(row: int, column: int, alone: str = "DIRECT INPUT") -> str:
    """In words; `alone` is what a place outside the matrix is called: CHAIN for a lamp's."""
    if row:
        return f"ROW {row} COLUMN {column}"
    return f"{alone} {column}"


def colours(row: int, column: int) -> str:
    """The wires' colours."""
    if row:
        return f"{coded(ROW, row)} AND {coded(COLUMN, column)}"
    return coded(DIRECT[(column - 1) // GROUP % len(DIRECT)], column)


def coded(base: str, n: int) -> str:
    """The code of wire number `n` (from 1) of those with this first colour, which is no ring of theirs."""
    rings = [ring for ring in RINGS if ring != base]
    return base + rings[(n - 1) % GROUP]
