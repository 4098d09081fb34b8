"""Wire colours: codes of IEC 60757 in the scheme that the operator's pages show.

The base colour stands for the kind of wire, the ring (a second colour, or a sleeve at both ends) for its
number.
Green, yellow and green-yellow are never used: green-yellow is protective earth and nothing else.
"""

from firmware.base.errors import GameError
from firmware.operator.wires import COLUMN, DIRECT, GROUP, ROW, coded

# IEC 60757 (read on a secondary page)
NAMES = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "TQ": "turquoise",
}
NEVER = ("GN", "YE", "GNYE")

# What a wire is: the base colours of its first eight numbers, of the next eight, and so on.
BASES = {
    "switch row": (ROW,),
    "switch column": (COLUMN,),
    "direct": DIRECT,
    "lamp row": ("PK",),
    "lamp column": ("OG",),
    "drive": ("BN", "TQ", "BK"),
}
HELD = ("BNTQ", "BKTQ")  # of the held drives: rings that pulsed drives do not use
PLAIN = {"coil bus": "RD", "coil 0 V": "BK", "logic 0 V": "BU"}

SHADES = {
    "BK": "#222222",
    "BN": "#7a4a21",
    "RD": "#c8202a",
    "OG": "#ef7d1a",
    "BU": "#2458b8",
    "VT": "#7a3fa0",
    "GY": "#8a8f94",
    "WH": "#ffffff",
    "PK": "#f0a0b8",
    "TQ": "#2ab0b0",
}


def colour(what: str, number: int) -> str:
    """The code of wire `number` (from 1): base and ring, such as WHBN. Raises GameError beyond the scheme."""
    if what in PLAIN:
        return PLAIN[what]
    if what == "held drive":
        return HELD[number - 1]
    bases = BASES[what]
    group = (number - 1) // GROUP
    if not 0 <= group < len(bases):
        raise GameError(f"the colour scheme has no {what} {number}; it goes to {GROUP * len(bases)}")
    return coded(bases[group], number)


def words(code: str) -> str:
    """A code in words, such as: white with a brown ring."""
    base, ring = code[:2], code[2:]
    if not ring:
        return NAMES[base]
    article = "an" if NAMES[ring][0] in "aeiou" else "a"
    return f"{NAMES[base]} with {article} {NAMES[ring]} ring"
