"""The keyboard at the desk: fixed keys for the cabinet, letters for shots in the order of the lines."""

from collections.abc import Iterable, Mapping

from hil.host_tables import KeyGroup, KeyRow

CABINET: tuple[KeyRow, ...] = (
    KeyRow("left shift", "switch", "button.left", "left flipper"),
    KeyRow("right shift", "switch", "button.right", "right flipper"),
    KeyRow("return", "switch", "start", "start"),
    KeyRow("insert", "switch", "coin.1", "coin"),
    KeyRow("tab", "switch", "tilt", "tilt bob"),
    KeyRow("delete", "switch", "slam", "slam"),
)
DOOR: tuple[KeyRow, ...] = (
    KeyRow("f4", "latch", "door", "coin door open"),
    KeyRow("f5", "switch", "pad.leave", "leave"),
    KeyRow("f6", "switch", "pad.less", "less"),
    KeyRow("f7", "switch", "pad.more", "more"),
    KeyRow("f8", "switch", "pad.open", "open"),
    KeyRow("f9", "latch", "service_key", "service key"),
)
LETTERS = "qwertyuioasdfghjlzxcvbn1234567890"  # the desk itself uses the others


def groups(switches: Iterable[str], shots: Iterable[str], fixed: Mapping[str, str]) -> tuple[KeyGroup, ...]:
    """The groups of keys; `fixed`: keys by shot. Shots beyond the letters have no key."""
    wired = set(switches)
    names = list(shots)
    first = tuple(KeyRow(fixed[name], "shot", name, _label(name)) for name in names if name in fixed)
    free = [name for name in names if name not in fixed]
    rest = tuple(KeyRow(key, "shot", name, _label(name)) for key, name in zip(LETTERS, free, strict=False))
    found = (
        KeyGroup("cabinet", _wired(CABINET, wired)),
        KeyGroup("coin door and service pad", _wired(DOOR, wired)),
        KeyGroup("plunger and drain", first),
        KeyGroup("shots", rest),
    )
    return tuple(group for group in found if group.keys)


def _wired(rows: tuple[KeyRow, ...], wired: set[str]) -> tuple[KeyRow, ...]:
    return tuple(row for row in rows if row.name in wired)


def _label(shot: str) -> str:
    return shot.replace("_", " ")
