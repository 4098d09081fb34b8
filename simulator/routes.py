"""A game's ball routes, read from its host tables and checked against its wiring."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firmware.base.errors import ScriptError
from firmware.charts.suggest import did_you_mean
from simulator.tables import Tables

StepValue = int | str | tuple[str, ...]
StepRow = tuple[str, *tuple[StepValue, ...]]
"""A step as written: its verb, then its arguments."""

# The kinds of arguments that each verb of a step takes. A "point" is one of the drawing.
STEPS = {
    "hit": ("ms", "switch", "ms"),
    "bounce": ("ms", "switches", "ms", "ms", "option"),
    "spin": ("ms", "switch", "ms", "ms", "ms", "option"),
    "move": ("ms", "point"),
    "place": ("point",),
    "pick": ("option", "routes"),
    "go": ("route",),
    "stray": ("number", "route"),  # in a failing plant: per cent, and where the ball goes then
    "drop": ("ms", "drop target"),
    "latch": ("ms", "drop target", "route", "option"),
    "catch": ("coil", "ms", "ms", "route"),
    "enter": ("ms", "device", "route or none"),
    "leave": ("device",),
    "rest": ("ms", "point"),
}
DRAW = 1 << 14  # weights of one draw of chance, together
ENDS = ("go", "pick", "enter", "rest")


@dataclass(frozen=True)
class Step:
    """One step of a route: a verb of STEPS, and arguments of the kinds listed there."""

    verb: str
    arguments: tuple[StepValue, ...]


@dataclass(frozen=True)
class Option:
    """A number that a shot takes (how many turns, which lane); `usual` unless given or drawn by weight."""

    name: str
    least: int
    most: int
    usual: int
    weights: tuple[int, ...]


@dataclass(frozen=True)
class Shot:
    """A whole shot: the place its ball starts from, and its steps."""

    name: str
    start: str
    options: tuple[Option, ...]
    help: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class DeviceRow:
    """A device: switches of its slots from the exit up ("": none), its coil ("": none), its times in ms."""

    name: str
    switches: tuple[str, ...]
    coil: str
    least_pulse: int
    leaves_after: int
    roll: int
    passing: int
    way_out: str


@dataclass(frozen=True)
class DropTargetRow:
    """A drop target: its switch stays closed until its coil pulses for `least_pulse` ms or longer."""

    switch: str
    coil: str
    least_pulse: int
    opens_after: int


@dataclass(frozen=True)
class WheelRow:
    """A wheel: its motor, its index switch, its first stop; `step`, `short` and `long` are ms."""

    motor: str
    switch: str
    stops: int
    starts_at: int
    step: int
    short: int
    long: int


@dataclass(frozen=True)
class FlipperRow:
    """A flipper: its windings, its end-of-stroke switch, ms for the way up and down."""

    strong: str
    hold: str
    switch: str
    rises_in: int
    falls_in: int


@dataclass(frozen=True)
class WeakCoilRow:
    """How often a coil's pulse fails in a failing plant."""

    coil: str
    per_cent: int


@dataclass(frozen=True)
class ShotRow:
    """A row of SHOTS as written: its options and steps are still tuples."""

    name: str
    start: str
    options: tuple[object, ...]
    help: str
    steps: tuple[StepRow, ...]


@dataclass(frozen=True)
class RouteRow:
    """A row of ROUTES: a part of shots, or the way of a ball that a coil kicks out."""

    name: str
    steps: tuple[StepRow, ...]


class RouteBook:
    """All that the plant reads of one game. Raises GameError with the table and what is wrong in it."""

    def __init__(self, module: object, switches: Iterable[str], coils: Iterable[str]) -> None:
        self._tables = tables = Tables(module)
        self._switches = tuple(switches)
        self._coils = tuple(coils)
        self.balls: int = tables.value("BALLS", int)
        self.home: str = tables.value("HOME", str)
        self.devices = tables.rows("DEVICES", DeviceRow)
        self.latches = tables.rows("LATCHES", DropTargetRow)
        self.flippers = tables.rows("FLIPPERS", FlipperRow)
        self.wheels = tables.rows("WHEELS", WheelRow) if tables.has("WHEELS") else []
        self.weak = {row.coil: row.per_cent for row in tables.rows("WEAK", WeakCoilRow)}
        self.shots = {row.name: self._shot(row) for row in tables.rows("SHOTS", ShotRow)}
        self.steps = {row.name: _steps(row.steps) for row in tables.rows("ROUTES", RouteRow)}
        self._check()

    def shot(self, name: str) -> Shot:
        """The shot of this name. Raises ScriptError with the near miss."""
        if name not in self.shots:
            raise ScriptError(f"there is no shot '{name}'{did_you_mean(name, list(self.shots))}")
        return self.shots[name]

    def options(self, shot: Shot, given: dict[str, int]) -> dict[str, int]:
        """The given options, checked. Raises ScriptError: unknown to the shot, or out of range."""
        known = {option.name: option for option in shot.options}
        for name, value in given.items():
            if name not in known:
                takes = did_you_mean(name, list(known)) or f"; it takes {', '.join(known) or 'none'}"
                raise ScriptError(f"shot '{shot.name}' has no option '{name}'{takes}")
            option = known[name]
            if not option.least <= value <= option.most:
                raise ScriptError(
                    f"shot '{shot.name}': {name}={value} is out of range, "
                    f"{option.least} to {option.most} is allowed"
                )
        return given

    def help(self) -> list[tuple[str, str]]:
        """Each shot with a line of help that lists its options, in the table's order."""
        return [(shot.name, shot.help + _options_line(shot)) for shot in self.shots.values()]

    def _shot(self, row: ShotRow) -> Shot:
        owner = f"shot '{row.name}', options"
        options = [self._tables.row(owner, n, entries, Option) for n, entries in enumerate(row.options, 1)]
        return Shot(row.name, row.start, tuple(options), row.help, _steps(row.steps))

    def _check(self) -> None:
        require = self._tables.require
        require("HOME", self.home, [device.name for device in self.devices])
        for device in self.devices:
            for switch in device.switches:
                if switch:
                    require(f"device '{device.name}'", switch, self._switches)
            if device.coil:
                require(f"device '{device.name}'", device.coil, self._coils)
                require(f"device '{device.name}'", device.way_out, self.steps)
        for owner, switch, coil in self._wired():
            require(owner, switch, self._switches)
            require(owner, coil, self._coils)
        for coil in self.weak:
            require("WEAK", coil, self._coils)
        home = next(device for device in self.devices if device.name == self.home)
        if not 0 < self.balls <= len(home.switches):
            self._tables.refuse(
                f"BALLS is {self.balls}; '{self.home}' has room for 1 to {len(home.switches)}"
            )
        for shot in self.shots.values():
            self._check_options(shot)
            self._check_steps(f"shot '{shot.name}'", shot.steps)
        for name, steps in self.steps.items():
            self._check_steps(f"route '{name}'", steps)

    def _wired(self) -> Iterable[tuple[str, str, str]]:
        """Table, switch and coil of every mechanism."""
        yield from (("LATCHES", latch.switch, latch.coil) for latch in self.latches)
        yield from (("WHEELS", wheel.switch, wheel.motor) for wheel in self.wheels)
        for flipper in self.flippers:
            yield "FLIPPERS", flipper.switch, flipper.strong
            yield "FLIPPERS", flipper.switch, flipper.hold

    def _check_options(self, shot: Shot) -> None:
        for option in shot.options:
            room = option.most - option.least + 1
            if len(option.weights) != room or not option.least <= option.usual <= option.most:
                self._tables.refuse(
                    f"shot '{shot.name}': option '{option.name}' needs {room} weights and a usual value of "
                    f"{option.least} to {option.most}"
                )
            if (
                not all(type(w) is int and w >= 0 for w in option.weights)
                or not 0 < sum(option.weights) <= DRAW
            ):
                self._tables.refuse(
                    f"shot '{shot.name}': option '{option.name}' needs whole weights, 1 to {DRAW:,} together"
                )

    def _check_steps(self, owner: str, steps: Sequence[Step]) -> None:
        for step in steps:
            if step.verb not in STEPS:
                self._tables.refuse(
                    f"{owner} has no step '{step.verb}'{did_you_mean(step.verb, list(STEPS))}"
                )
            kinds = STEPS[step.verb]
            if len(step.arguments) != len(kinds):
                self._tables.refuse(f"{owner}: step '{step.verb}' takes {', '.join(kinds)}")
            for kind, value in zip(kinds, step.arguments, strict=True):
                self._check_value(owner, kind, value)
            if step.verb == "pick":
                self._check_pick(owner, *step.arguments)
        ends = [number for number, step in enumerate(steps) if step.verb in ENDS]
        if ends != [len(steps) - 1]:
            self._tables.refuse(f"{owner} must have one of {', '.join(ENDS)} as its last step only")

    def _check_pick(self, owner: str, name: StepValue, routes: StepValue) -> None:
        most = max(o.most for shot in self.shots.values() for o in shot.options if o.name == name)
        if not isinstance(routes, tuple) or len(routes) != most + 1:
            self._tables.refuse(f"{owner}: option '{name}' is 0 to {most}, so pick takes {most + 1} routes")

    def _check_value(self, owner: str, kind: str, value: StepValue) -> None:
        require = self._tables.require
        if kind == "ms":
            if not isinstance(value, int) or value < 0:
                self._tables.refuse(f"{owner}: {value!r} is no time in whole milliseconds")
        elif kind in ("switches", "routes"):
            if not isinstance(value, tuple):
                self._tables.refuse(f"{owner}: {value!r} is no tuple of {kind}")
            for one in value:
                require(owner, one, self._switches if kind == "switches" else self.steps)
        elif kind == "switch":
            require(owner, value, self._switches)
        elif kind == "drop target":
            require(owner, value, [latch.switch for latch in self.latches])
        elif kind == "coil":
            require(owner, value, self._coils)
        elif kind == "device":
            require(owner, value, [device.name for device in self.devices])
        elif kind == "option":
            require(owner, value, {o.name for shot in self.shots.values() for o in shot.options})
        elif kind == "route" or (kind == "route or none" and value):
            require(owner, value, self.steps)


def _steps(rows: Sequence[StepRow]) -> tuple[Step, ...]:
    return tuple(Step(verb, tuple(arguments)) for verb, *arguments in rows)


def _options_line(shot: Shot) -> str:
    words = [f"{o.name}={o.least}-{o.most}, usually {o.usual}" for o in shot.options]
    return f" ({'; '.join(words)})" if words else ""
