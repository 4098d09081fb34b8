"""Wires of a matrix, drives and names of a line that has several switches, lamps or coils."""

from hil.machine.complaints import RefusedLine

LINE = 8  # consecutive places go on in the next row after this column
MOST_LINES = 16  # rows or columns of a matrix
MOST_DIRECT = 32  # direct inputs, drives
MOST_CHAINED = 64

Wire = tuple[int, int]


def wires(at: "Wire | tuple[Wire, ...]", count: int, what: str) -> list[Wire]:
    """`count` places: from the first one on, or as listed. Raises RefusedLine: not as many as needed."""
    first = at[0]
    if isinstance(first, int):
        row, column = at
        assert isinstance(row, int)
        assert isinstance(column, int)
        if row and column > LINE and count > 1:
            raise RefusedLine(f"{what} begins in column {column}, behind {LINE}: list its places one by one")
        return [(row, column)] if count == 1 else [_following(row, column, step) for step in range(count)]
    listed = [place for place in at if isinstance(place, tuple)]
    if len(listed) != count:
        raise RefusedLine(f"{what} has {len(listed)} places for {count}")
    return listed


def _following(row: int, column: int, step: int) -> Wire:
    if row == 0:  # direct inputs, or the chain of LEDs
        return 0, column + step
    further = column - 1 + step
    return row + further // LINE, further % LINE + 1


def names(name: str, n: "int | tuple[str, ...]", first: int = 1) -> list[str]:
    """The names of a line's things: `name` alone, or NAME.1 …, or NAME.left …"""
    if isinstance(n, tuple):
        return [f"{name}.{one}" for one in n]
    return [name] if n == 1 and first == 1 else [f"{name}.{number}" for number in range(first, first + n)]


def drives(drive: "int | tuple[int, ...]", count: int, what: str) -> list[int]:
    """`count` drives: from the first one on, or as listed. Raises RefusedLine."""
    if isinstance(drive, int):
        return list(range(drive, drive + count))
    if len(drive) != count:
        raise RefusedLine(f"{what} has {len(drive)} drives for {count}")
    return list(drive)


def each(value: object, usual: object, count: int) -> list[object]:
    """One value for each of `count` things: the usual one if none is given, the same for all, or as listed.

    Raises RefusedLine: a tuple of another length.
    """
    given = usual if value is None else value
    if not isinstance(given, tuple):
        return [given] * count
    if len(given) != count:
        raise RefusedLine(f"{given!r} has {len(given)} values for {count}")
    return list(given)


def spoken(name: str) -> str:
    """A name as one says it: `inlane.left` is the left inlane."""
    words = name.replace(".", " ").replace("_", " ").split()
    return " ".join([words[-1], *words[:-1]]) if words[-1] in ("left", "right") else " ".join(words)


def shot_name(switch: str) -> str:
    """The name of the shot at a switch: left_inlane for `inlane.left`, buoy_2 for `buoy.2`."""
    return spoken(switch).replace(" ", "_")


def exists(table: str, row: int, column: int) -> bool:
    """Whether some board has this place of SWITCHES or LAMPS; row 0 is direct, or the chain."""
    if row == 0:
        return 1 <= column <= (MOST_DIRECT if table == "SWITCHES" else MOST_CHAINED)
    return 1 <= row <= MOST_LINES and 1 <= column <= MOST_LINES
