"""What a switch or a coil of a harness is, by the words in its name."""

import re
from typing import NamedTuple

from hil.electrical.harness.reading import Item

# The first row of which a word is in the name decides; "" when none does.
SWITCHES = (
    ("trough", ("trough",)),
    ("outhole", ("outhole", "out hole", "drain")),
    ("shooter", ("shooter", "plunger")),
    ("start", ("start", "credit")),
    ("coin", ("coin",)),
    ("slam", ("slam",)),
    ("tilt", ("tilt",)),
    ("door", ("door",)),
    ("eos", ("end of stroke", "eos", "e o s")),
    ("button", ("flipper", "button")),
    ("outlanes", ("outlane", "out lane")),
    ("lanes", ("lane", "rollover")),
    ("spinner", ("spinner",)),
    ("bumpers", ("bumper",)),
    ("slings", ("sling",)),
    ("hole", ("saucer", "hole", "scoop", "kickout", "eject")),
    ("drops", ("drop",)),
    ("orbit", ("orbit",)),
    ("targets", ("target", "bank", "standup")),
)
COILS = (
    ("knocker", ("knocker",)),
    ("meter", ("meter",)),
    ("lockout", ("lockout",)),
    ("chimes", ("chime", "bell")),
    ("flashers", ("flash",)),
    ("reset", ("reset",)),
    ("trough", ("trough", "outhole", "out hole")),
    ("shooter", ("plunger", "shooter")),
    ("bumpers", ("bumper",)),
    ("slings", ("sling",)),
    ("hole", ("saucer", "hole", "scoop", "kickout", "eject")),
)
SIDES = ("left", "right")


class Part(NamedTuple):
    """One item, what it is, and its name for our tables: `base` without its number or side, `end` those."""

    item: Item
    kind: str
    base: str
    end: str


def of_switch(item: Item) -> Part:
    """A switch; what no word tells is taken for a target."""
    return Part(item, _kind(item, SWITCHES) or "targets", *_split(item.name))


def of_coil(item: Item) -> Part:
    """A coil; what no word tells is one of its own."""
    return Part(item, _kind(item, COILS) or "coil", *_split(item.name))


def is_known(part: Part) -> bool:
    """Whether a word of its name tells what it is."""
    return bool(_kind(part.item, SWITCHES if part.item.kind == "switch" else COILS))


def _kind(item: Item, table: "tuple[tuple[str, tuple[str, ...]], ...]") -> str:
    words = " ".join(re.sub(r"[^a-z0-9]+", " ", item.name.lower()).split())
    return next((kind for kind, known in table if any(word in words for word in known)), "")


def _split(name: str) -> tuple[str, str]:
    """The name in small letters with _, and the number or side in it: bank and 2 for "Bank 2"."""
    words = re.sub(r"[^a-z0-9]+", " ", name.lower()).split() or ["unnamed"]
    end = ""
    if words[-1].isdigit() and len(words) > 1:
        end = words.pop()
    for side in SIDES:
        if not end and side in words and len(words) > 1:
            words.remove(side)
            end = side
    base = "_".join(words)
    return (base if base[0].isalpha() else f"n{base}"), end
