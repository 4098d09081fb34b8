"""Parts of a circuit: designator, value, ratings, and pins with the net each is connected to."""

from dataclasses import dataclass, field

from firmware.base.errors import UsageError

PASSIVE = "passive"
INPUT = "input"
OUTPUT = "output"
TRISTATE = "tristate"
OPEN = "open collector"
BOTH = "both"
SUPPLY = "supply"  # a pin that takes a supply
SOURCE = "source"  # a pin that gives one
UNUSED = "unused"
KINDS = (PASSIVE, INPUT, OUTPUT, TRISTATE, OPEN, BOTH, SUPPLY, SOURCE, UNUSED)
NOWHERE = ""  # the net of a pin that is connected to nothing

COMMON = "common practice, no source"
MEMORY = "mem"


@dataclass(frozen=True)
class Pin:
    """One pin: its number, its name, what it does, and the net; `most`: highest volts to 0 V it bears."""

    number: str
    name: str
    kind: str
    net: str
    most: float = 1000.0

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise UsageError(f"pin {self.name} is of kind '{self.kind}'; there are {', '.join(KINDS)}")


@dataclass(frozen=True)
class Part:
    """One part. `ratings` in V, A, W by name; `size` in Ω, F, H or V; `unit` is the channel, 0 for none.

    `near` is the part whose supply pins a decoupling capacitor belongs to.
    """

    mark: str
    kind: str
    value: str
    pins: tuple[Pin, ...]
    ratings: dict[str, float] = field(default_factory=dict)
    size: float = 0.0
    sheet: str = ""
    unit: int = 0
    near: str = ""
    off_board: bool = False
    why: str = ""
    source: str = MEMORY

    def net(self, name: str) -> str:
        """The net of the pin of this name or number. Raises UsageError: no such pin."""
        return self.pin(name).net

    def pin(self, name: str) -> Pin:
        """The pin of this name or number. Raises UsageError: no such pin."""
        for pin in self.pins:
            if name in (pin.name, pin.number):
                return pin
        raise UsageError(f"{self.mark} has no pin '{name}'; it has {', '.join(p.name for p in self.pins)}")


def two(first: str, second: str, names: tuple[str, str] = ("1", "2")) -> tuple[Pin, ...]:
    """The pins of a part with two ends."""
    return (Pin("1", names[0], PASSIVE, first), Pin("2", names[1], PASSIVE, second))


def resistor(mark: str, ohms: float, a: str, b: str, watts: float = 0.25, why: str = "") -> Part:
    """A resistor; its `volts` rating is that of a metal-film one of that power."""
    volts = 250.0 if watts >= 0.25 else 150.0
    return Part(mark, "resistor", _scaled(ohms, "Ω"), two(a, b), {"W": watts, "V": volts}, ohms, why=why)


def capacitor(
    mark: str, farads: float, volts: float, plus: str, minus: str, near: str = "", kind: str = "capacitor"
) -> Part:
    """A capacitor; pin 1 is the positive one of an electrolytic."""
    why = f"decoupling of {near}" if near else ""
    text = _scaled(farads, "F")
    return Part(mark, kind, text, two(plus, minus), {"V": volts}, farads, near=near, why=why)


def diode(
    mark: str, kind: str, value: str, anode: str, cathode: str, volts: float, amperes: float, why: str = ""
) -> Part:
    """A diode of `kind` (diode, schottky, zener, suppressor, led): pin 1 the cathode, pin 2 the anode."""
    pins = (Pin("1", "K", PASSIVE, cathode), Pin("2", "A", PASSIVE, anode))
    return Part(mark, kind, value, pins, {"V": volts, "A": amperes}, volts, why=why)


def mosfet(mark: str, value: str, gate: str, drain: str, source: str, **ratings: float) -> Part:
    """An N-channel MOSFET."""
    pins = (Pin("1", "G", INPUT, gate), Pin("2", "D", PASSIVE, drain), Pin("3", "S", PASSIVE, source))
    return Part(mark, "mosfet", value, pins, ratings)


def p_mosfet(mark: str, value: str, gate: str, drain: str, source: str, **ratings: float) -> Part:
    """A P-channel MOSFET."""
    pins = (Pin("1", "G", INPUT, gate), Pin("2", "D", PASSIVE, drain), Pin("3", "S", PASSIVE, source))
    return Part(mark, "p mosfet", value, pins, ratings)


def fuse(mark: str, value: str, a: str, b: str, volts: float, amperes: float, breaks: float) -> Part:
    """A fuse: rated DC volts and amperes, and the current it can interrupt at those volts."""
    return Part(mark, "fuse", value, two(a, b), {"V": volts, "A": amperes, "breaks": breaks}, amperes)


def clamp(mark: str, net: str, rail: str, zero: str = "0V") -> Part:
    """A dual Schottky diode (BAT54S) that keeps `net` between `zero` and `rail`."""
    pins = (Pin("1", "A", PASSIVE, zero), Pin("2", "K", PASSIVE, rail), Pin("3", "AK", PASSIVE, net))
    why = "keeps the line within the supply of the chip behind it"
    return Part(mark, "clamp", "BAT54S", pins, {"V": 30.0, "A": 0.2}, why=why)


def connector(mark: str, value: str, nets: tuple[str, ...], **ratings: float) -> Part:
    """A connector: pin 1 is the first net."""
    pins = tuple(Pin(str(n + 1), str(n + 1), PASSIVE, net) for n, net in enumerate(nets))
    return Part(mark, "connector", value, pins, ratings)


def test_point(mark: str, net: str, expected: str) -> Part:
    """A test point; `expected` is what a meter shows there."""
    return Part(mark, "test point", expected, (Pin("1", "1", PASSIVE, net),))


def _scaled(value: float, unit: str) -> str:
    """A value with its prefix: 4700.0 Ω is 4.7 kΩ."""
    for factor, prefix in ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n")):
        if value >= factor * (10 if prefix == "m" and unit == "F" else 1):
            return f"{value / factor:.4g} {prefix}{unit}"
    return f"{value / 1e-12:.4g} p{unit}"
