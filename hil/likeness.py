"""Near misses of names: a slip of the pen, or the same words in another order, as shots and events have."""

import re
from collections.abc import Collection

from firmware.charts.suggest import did_you_mean

BETWEEN = re.compile(r"[._]")
PREFIXES = frozenset(("made", "entered"))


def near(given: str, known: Collection[str]) -> str:
    """ "; did you mean 'made.orbit.right'?" for 'right_orbit', else what `did_you_mean` says, or ""."""
    alike = same_words(given, known) or _slip(given, known)
    return f"; did you mean '{alike}'?" if alike else did_you_mean(given, sorted(known))


def same_words(given: str, known: Collection[str]) -> str:
    """The shortest of `known` that is made of the words of `given` in any order; "" when there is none."""
    words = _words(given)
    found = [name for name in known if name != given and words and _words(name) == words]
    return min(found, key=lambda name: (len(name), name), default="")


def _slip(given: str, known: Collection[str]) -> str:
    """The shortest of `known` that begins or ends with all of `given` and a dot."""
    found = [name for name in known if name.startswith(given + ".") or name.endswith("." + given)]
    return min(found, key=lambda name: (len(name), name), default="")


def _words(name: str) -> frozenset[str]:
    return frozenset(BETWEEN.split(name)) - PREFIXES
