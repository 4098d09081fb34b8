"""Where a wire is and what colour it has: row and column, or a direct input's number.

Colour codes of IEC 60757, two of them for a wire with a stripe. The scheme is our own: the first
colour says what the wire is (row white, column black, direct input pink or, from 9 on, turquoise),
the stripe says which (1 brown … 8 grey). Green with yellow is nobody's: it is the earth's.
"""

STRIPES = ("BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY")
ROW = "WH"
COLUMN = "BK"
DIRECT = ("PK", "TQ")


def place(row: int, column: int) -> str:
    """In words."""
    if row:
        return f"ROW {row} COLUMN {column}"
    return f"DIRECT INPUT {column}"


def colours(row: int, column: int) -> str:
    """The wires' colours."""
    if row:
        return f"{ROW}{stripe(row)} AND {COLUMN}{stripe(column)}"
    return DIRECT[(column - 1) // len(STRIPES) % len(DIRECT)] + stripe(column)


def stripe(n: int) -> str:
    """The stripe of wire number `n` (from 1)."""
    return STRIPES[(n - 1) % len(STRIPES)]
