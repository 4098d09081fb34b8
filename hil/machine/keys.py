"""The keyboard at the desk: fixed keys for the cabinet, letters for shots in the order of the lines."""

from collections.abc import Iterable, Mapping

from hil.host_tables import KeyGroup, KeyRow

CABINET: tuple[KeyRow, ...] = (
    ("left shift", "switch", "button.left", "left flipper"),
    ("right shift", "switch", "button.right", "right flipper"),
    ("return", "switch", "start", "start"),
    ("insert", "switch", "coin.1", "coin"),
    ("tab", "switch", "tilt", "tilt bob"),
    ("delete", "switch", "slam", "slam"),
)
DOOR: tuple[KeyRow, ...] = (
    ("f4", "latch", "door", "coin door open"),
    ("f5", "switch", "pad.leave", "leave"),
    ("f6", "switch", "pad.less", "less"),
    ("f7", "switch", "pad.more", "more"),
    ("f8", "switch", "pad.open", "open"),
    ("f9", "latch", "service_key", "service key"),
)
LETTERS = "qwertyuioasdfghjlzxcvbn1234567890"  # the desk itself uses the others


def groups(switches: Iterable[str], shots: Iterable[str], fixed: Mapping[str, str]) -> tuple[KeyGroup, ...]:
    """The groups of keys; `fixed`: keys by shot. Shots beyond the letters have no key."""
    wired = set(switches)
    names = list(shots)
    first = tuple((fixed[name], "shot", name, _label(name)) for name in names if name in fixed)
    free = [name for name in names if name not in fixed]
    rest = tuple((key, "shot", name, _label(name)) for key, name in zip(LETTERS, free, strict=False))
    found = (
        ("cabinet", _wired(CABINET, wired)),
        ("coin door and service pad", _wired(DOOR, wired)),
        ("plunger and drain", first),
        ("shots", rest),
    )
    return tuple(group for group in found if group[1])


def _wired(rows: tuple[KeyRow, ...], wired: set[str]) -> tuple[KeyRow, ...]:
    return tuple(row for row in rows if row[2] in wired)


def _label(shot: str) -> str:
    return shot.replace("_", " ")
