"""Collects the rows that the lines of a machine file give, each with its line."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Generic, NamedTuple, TypeVar

from hil.game_tables import ChimeRow, CoilRow, DisplayRow, FlipperRow, LampRow, ReflexRow, SwitchRow
from hil.host_tables import (
    BatRow,
    DeviceRow,
    DropTargetRow,
    OptionRow,
    RouteRow,
    ShotRow,
    Steps,
    WeakCoilRow,
    WheelRow,
)
from hil.machine.places import Wire, drives, each, names, wires
from hil.machine.reading import Line
from hil.machine.records import Coil, Lamp, Load, Touch, Winding

AnyRow = TypeVar("AnyRow", SwitchRow, LampRow)
Strokes = tuple[tuple[str, int], ...]
"""A cue as strokes of chime coils, each with the ms until the next."""

LAST = 1_000_000  # the order of the shots that come behind all others
FIRST = -1


class Times(NamedTuple):
    """A kind's coils when nothing else is written: class, times in ms, seconds between pulses in play."""

    coil_class: str
    pulse: int
    longest: int
    rest: int
    seconds: float


EJECT = Times("queued", 30, 60, 300, 10.0)
PLUNGER = Times("queued", 35, 60, 500, 10.0)
SNAP = Times("snap", 20, 30, 60, 3.0)
RESET = Times("queued", 80, 150, 500, 10.0)
KICKBACK = Times("snap", 30, 50, 500, 10.0)
KNOCKER = Times("queued", 30, 50, 200, 10.0)
STRONG = Times("flipper", 40, 60, 10, 3.0)
HOLD = Times("flipper", -1, 0, 0, 0.0)
HELD = Times("flipper", -1, 0, 0, 3.0)
FLASH = Times("flasher", 60, 120, 180, 0.5)
METER = Times("meter", 60, 120, 120, 0.5)
MOTOR = Times("motor", -1, 0, 0, 0.0)
CHIME = Times("snap", 25, 40, 70, 0.5)


class Wound(NamedTuple):
    """A coil's winding or other load, the clamp that its drive needs, and the seconds between its pulses."""

    winding: Winding | Load
    clamp: float
    seconds: float


@dataclass(frozen=True)
class Block(Generic[AnyRow]):
    """Rows of one line that stay side by side in a wiring table."""

    line: int
    rows: tuple[AnyRow, ...]

    @property
    def place(self) -> tuple[bool, int, int]:
        """What blocks are sorted by: the first place, direct inputs behind the matrix."""
        first, *_ = self.rows
        return first.row == 0, first.row, first.column


class Reference(NamedTuple):
    """A name that a line takes from another line: looked up when all lines are read."""

    line: int
    what: str
    name: str
    table: str


@dataclass
class Expansion:
    """Everything that the lines gave so far. The kinds call its methods; `line` is the one being expanded."""

    line: Line
    switches: list[Block[SwitchRow]] = field(default_factory=list)
    lamps: list[Block[LampRow]] = field(default_factory=list)
    coils: list[tuple[int, CoilRow]] = field(default_factory=list)
    wound: dict[str, Wound] = field(default_factory=dict)
    reflexes: list[ReflexRow] = field(default_factory=list)
    flippers: list[FlipperRow] = field(default_factory=list)
    search: list[tuple[str, int, str]] = field(default_factory=list)
    latched: list[str] = field(default_factory=list)
    optos: list[tuple[str, str]] = field(default_factory=list)
    displays: list[DisplayRow] = field(default_factory=list)
    chimes: list[ChimeRow] = field(default_factory=list)
    trough: tuple[str, ...] = ()
    balls: int = 0
    players: int = 0
    home: str = ""
    devices: list[DeviceRow] = field(default_factory=list)
    latches: list[DropTargetRow] = field(default_factory=list)
    bats: list[BatRow] = field(default_factory=list)
    wheels: list[WheelRow] = field(default_factory=list)
    weak: list[WeakCoilRow] = field(default_factory=list)
    shots: list[tuple[int, ShotRow]] = field(default_factory=list)
    routes: list[RouteRow] = field(default_factory=list)
    keys: dict[str, str] = field(default_factory=dict)
    references: list[Reference] = field(default_factory=list)
    caught: dict[str, tuple[str, str]] = field(default_factory=dict)
    plunged_over: set[str] = field(default_factory=set)
    _later: list[tuple[Line, Callable[[], None]]] = field(default_factory=list)

    # Wiring ----------------------------------------------------------------------------------

    def add_switches(self, found: Sequence[str], kind: str, zone: str, places: Sequence[Wire]) -> None:
        """A block of switches of one debounce class and zone."""
        rows = [SwitchRow(name, kind, zone, *place) for name, place in zip(found, places, strict=True)]
        self.switches.append(Block(self.line.number, tuple(rows)))
        if self.line.opto:
            self.optos += [(name, self.line.opto) for name in found]

    def add_lamps(self, found: Sequence[str], lamp: Lamp | None) -> None:
        """The lamps of a line; their names are the line's unless the lamp has its own."""
        if lamp is None:
            return
        own = lamp.name
        called = (
            list(found) if own is None else list(own) if isinstance(own, tuple) else names(own, len(found))
        )
        places = wires(lamp.at, len(called), f"{self.line.kind}'s lamps")
        rows = [LampRow(name, lamp.colour, *place) for name, place in zip(called, places, strict=True)]
        self.lamps.append(Block(self.line.number, tuple(rows)))

    def add_coils(
        self, usual: str, coil: Coil, times: Times, count: int = 1, clamp: float | None = None
    ) -> list[str]:
        """The coils of a line; returns their names. `clamp`: what the drive needs, whatever its winding."""
        called = names(coil.name or usual, count)
        for name, drive in zip(called, drives(coil.drive, count, f"{self.line.kind}'s coil"), strict=True):
            self._add_coil(name, drive, coil, times, clamp)
        return called

    def name_coils(self, called: Sequence[str], coil: Coil, times: Times, clamp: float | None = None) -> None:
        """Coils with names of their own, on the drives of `coil`."""
        taken = drives(coil.drive, len(called), f"{self.line.kind}'s coil")
        for name, drive in zip(called, taken, strict=True):
            self._add_coil(name, drive, coil, times, clamp)

    def _add_coil(self, name: str, drive: int, coil: Coil, times: Times, clamp: float | None) -> None:
        own = (coil.pulse, coil.longest, coil.rest)
        pulse, longest, rest = (
            usual if given is None else given for given, usual in zip(own, times[1:4], strict=True)
        )
        self.coils.append((self.line.number, CoilRow(name, times.coil_class, pulse, longest, rest, drive)))
        if coil.winding:
            needed = coil.winding.clamp if clamp is None else clamp
            self.wound[name] = Wound(coil.winding, needed, times.seconds)

    def add_reflexes(self, switches: Sequence[str], coils: Sequence[str], times: Times, coil: Coil) -> None:
        """Switches that fire their coils without the rules, searched in turn."""
        pulse = times.pulse if coil.pulse is None else coil.pulse
        rest = times.rest if coil.rest is None else coil.rest
        for switch, name in zip(switches, coils, strict=True):
            self.reflexes.append(ReflexRow(switch, name, pulse, pulse + rest))
        self.search += [(name, 1, "") for name in coils]

    # Plant -----------------------------------------------------------------------------------

    def add_shot(
        self,
        name: str,
        steps: Steps,
        help_text: str,
        start: str = "playfield",
        options: tuple[OptionRow, ...] = (),
        order: int | None = None,
    ) -> None:
        """A shot, unless the line has none of its own."""
        if self.line.shot:
            place = self.line.number if order is None else order
            self.shots.append((place, ShotRow(name, start, options, help_text, steps)))

    def later(self, action: Callable[[], None]) -> None:
        """Do this when all lines are read, as part of this line."""
        self._later.append((self.line, action))

    def pending(self) -> list[tuple[Line, Callable[[], None]]]:
        """What was to be done later, by line."""
        return self._later

    def refer(self, what: str, name: str, table: str) -> None:
        """Note that this line needs a thing of another: `table` is switches, lanes, devices or drops."""
        self.references.append(Reference(self.line.number, what, name, table))


def touches(given: Touch | None, usual: Touch, count: int) -> Iterable[tuple[int, int, int, str]]:
    """Reach, closed, back and side of each switch. Raises RefusedLine: a tuple of another length."""
    own = given or Touch()
    columns = [
        each(value, default, count)
        for value, default in (
            (own.reach, usual.reach),
            (own.closed, usual.closed),
            (own.back, usual.back),
            (own.to, usual.to),
        )
    ]
    for reach, closed, back, side in zip(*columns, strict=True):
        assert isinstance(reach, int)
        assert isinstance(closed, int)
        assert isinstance(back, int)
        assert isinstance(side, str)
        yield reach, closed, back, side
