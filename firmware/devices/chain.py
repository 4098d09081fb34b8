"""Lamps as a chain of addressable LEDs: what each shows, and what all of them draw at most.

A lamp at row 0 is on the chain, its column is its place there: `chain 5`. Every LED has three channels of
up to CHANNEL_MA; they are driven at LEVEL of 255, which keeps a full chain within a 5 V supply.
"""

MOST = 64
LEVEL = 48
CHANNEL_MA = 20  # at full level, and
IDLE_MA = 1  # while dark: data sheets of 5 V LEDs with a driver inside (mem)
SUPPLY_MA = 1500  # of the 5 V supply, which has 2 A in the reference circuit

COLOURS = (
    # name, share of red, green and blue in 255 parts; by eye
    ("white", 255, 255, 255),
    ("amber", 255, 130, 0),
    ("red", 255, 0, 0),
    ("green", 0, 255, 0),
    ("blue", 0, 0, 255),
    ("violet", 160, 0, 255),
)


def chained(wiring: "Wiring") -> bool:
    """Whether the lamps of this machine are on a chain, which the first one tells."""
    for _name, _colour, row, _column in wiring.LAMPS:
        return row == 0
    return False


def levels(colour: str) -> "tuple[int, int, int]":
    """Green, red, blue as they are sent, 0 … LEVEL; an unknown colour is white."""
    for name, red, green, blue in COLOURS:
        if name == colour:
            return green * LEVEL // 255, red * LEVEL // 255, blue * LEVEL // 255
    return LEVEL, LEVEL, LEVEL


def words(wiring: "Wiring") -> bytes:
    """Green, red, blue of each place of the chain, as far as the last lamp on it."""
    count = max([place for _name, _colour, _row, place in wiring.LAMPS])
    found = bytearray(count * 3)
    for _name, colour, _row, place in wiring.LAMPS:
        found[place * 3 - 3 : place * 3] = bytes(levels(colour))
    return bytes(found)


def milliamperes(wiring: "Wiring") -> int:
    """What the chain draws with every LED on (mA)."""
    every = words(wiring)
    return len(every) // 3 * IDLE_MA + sum(every) * CHANNEL_MA // 255


def refusals(wiring: "Wiring") -> "list[str]":
    """What is wrong with a chain, one sentence each."""
    wrong = []
    used: dict[int, str] = {}
    for name, _colour, row, place in wiring.LAMPS:
        if row != 0:
            wrong.append(
                f"lamp '{name}' is in the matrix and others are on the chain; this board has one of them"
            )
        elif not 1 <= place <= MOST:
            wrong.append(f"lamp '{name}' is at chain {place}; a chain has places 1 to {MOST}")
        elif place in used:
            wrong.append(f"lamps '{used[place]}' and '{name}' are both at chain {place}")
        used[place] = name
    if not wrong and milliamperes(wiring) > SUPPLY_MA:
        drawn = milliamperes(wiring)
        wrong.append(
            f"{len(used)} lamps on the chain draw {drawn} mA; the 5 V supply bears {SUPPLY_MA} mA for them"
        )
    return wrong


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.wiring import Wiring
