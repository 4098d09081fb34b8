"""A game's ball routes, read once from its host/routes.py and checked against its wiring."""

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from firmware.base.errors import GameError, ScriptError

Step = tuple[Any, ...]

# What a step says after its name: "ms", a "switch", "switches", a "coil", a "device", a "route" (or ""),
# "routes", an "option", a "point" of the drawing, a "number".
STEPS = {
    "hit": ("ms", "switch", "ms"),
    "bounce": ("ms", "switches", "ms", "ms", "option"),
    "spin": ("ms", "switch", "ms", "ms", "ms", "option"),
    "move": ("ms", "point"),
    "place": ("point",),
    "pick": ("option", "routes"),
    "go": ("route",),
    "latch": ("ms", "switch", "route", "option"),
    "catch": ("coil", "ms", "ms", "route"),
    "enter": ("ms", "device", "route or none"),
    "leave": ("device",),
    "rest": ("ms", "point"),
}
ENDS = ("go", "pick", "enter", "rest")


@dataclass(frozen=True)
class Option:
    """A choice of a shot: how many turns, which lane; `usual` unless given or drawn by weight."""

    name: str
    least: int
    most: int
    usual: int
    weights: tuple[int, ...]


@dataclass(frozen=True)
class Shot:
    """A whole shot: where its ball comes from and the steps it takes."""

    name: str
    start: str
    options: tuple[Option, ...]
    help: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class DeviceTable:
    """A device's row: slots from the exit up ("" has no switch), its coil, its times in ms."""

    name: str
    switches: tuple[str, ...]
    coil: str
    least_pulse: int
    leaves_after: int
    roll: int
    passing: int
    way_out: str


@dataclass(frozen=True)
class LatchTable:
    """A drop target's row: its switch stays closed until its coil pulses at least so long."""

    switch: str
    coil: str
    least_pulse: int
    opens_after: int


@dataclass(frozen=True)
class WheelTable:
    """A wheel's row: its motor, its index switch, where it stands at first, ms a stop and a pulse."""

    motor: str
    switch: str
    stops: int
    starts_at: int
    step: int
    short: int
    long: int


@dataclass(frozen=True)
class FlipperTable:
    """A flipper's row: its windings, its end-of-stroke switch, ms for the way up and down."""

    strong: str
    hold: str
    switch: str
    rises_in: int
    falls_in: int


class RouteBook:
    """Everything the plant knows of one game. Raises GameError with the table's place in words."""

    def __init__(self, module: Any, switches: Iterable[str], coils: Iterable[str]) -> None:
        self._file = str(getattr(module, "__file__", None) or module.__name__)
        self._switches = tuple(switches)
        self._coils = tuple(coils)
        self.balls: int = module.BALLS
        self.home: str = module.HOME
        self.devices = tuple(DeviceTable(*row) for row in module.DEVICES)
        self.latches = tuple(LatchTable(*row) for row in module.LATCHES)
        self.wheels = tuple(WheelTable(*row) for row in getattr(module, "WHEELS", ()))
        self.flippers = tuple(FlipperTable(*row) for row in module.FLIPPERS)
        self.weak: dict[str, int] = dict(module.WEAK)
        self.shots = {row[0]: self._shot(row) for row in module.SHOTS}
        self.steps: dict[str, tuple[Step, ...]] = dict(module.ROUTES)
        self._check()

    def shot(self, name: str) -> Shot:
        """The shot called so; raises ScriptError with the near miss."""
        if name not in self.shots:
            raise ScriptError(f"there is no shot '{name}'{near(name, self.shots)}")
        return self.shots[name]

    def options(self, shot: Shot, given: dict[str, int]) -> dict[str, int]:
        """What was given, checked against what the shot takes; raises ScriptError."""
        known = {option.name: option for option in shot.options}
        for name, value in given.items():
            if name not in known:
                takes = near(name, known) or (
                    f"; it takes {', '.join(known)}" if known else "; it takes none"
                )
                raise ScriptError(f"shot '{shot.name}' has no option '{name}'{takes}")
            option = known[name]
            if not option.least <= value <= option.most:
                raise ScriptError(
                    f"shot '{shot.name}': {name}={value} is out of range, "
                    f"{option.least} to {option.most} is allowed"
                )
        return given

    def help(self) -> list[tuple[str, str]]:
        """(shot, one line of help with its options) in the table's order."""
        return [(shot.name, shot.help + _options_line(shot)) for shot in self.shots.values()]

    def _shot(self, row: Sequence[Any]) -> Shot:
        name, start, options, text, steps = row
        return Shot(name, start, tuple(Option(*option) for option in options), text, tuple(steps))

    def _check(self) -> None:
        self._known("HOME", self.home, [device.name for device in self.devices])
        for device in self.devices:
            for switch in device.switches:
                if switch:
                    self._known(f"device '{device.name}'", switch, self._switches)
            self._known(f"device '{device.name}'", device.coil, self._coils)
            self._known(f"device '{device.name}'", device.way_out, self.steps)
        for latch in self.latches:
            self._known("LATCHES", latch.switch, self._switches)
            self._known("LATCHES", latch.coil, self._coils)
        for wheel in self.wheels:
            self._known("WHEELS", wheel.switch, self._switches)
            self._known("WHEELS", wheel.motor, self._coils)
        for flipper in self.flippers:
            self._known("FLIPPERS", flipper.switch, self._switches)
            self._known("FLIPPERS", flipper.strong, self._coils)
            self._known("FLIPPERS", flipper.hold, self._coils)
        for coil in self.weak:
            self._known("WEAK", coil, self._coils)
        for shot in self.shots.values():
            self._check_options(shot)
            self._check_steps(f"shot '{shot.name}'", shot.steps)
        for name, steps in self.steps.items():
            self._check_steps(f"route '{name}'", steps)

    def _check_options(self, shot: Shot) -> None:
        for option in shot.options:
            room = option.most - option.least + 1
            if len(option.weights) != room or not option.least <= option.usual <= option.most:
                raise GameError(
                    f"shot '{shot.name}': option '{option.name}' needs {room} weights and a usual value of "
                    f"{option.least} to {option.most}",
                    self._file,
                )

    def _check_steps(self, owner: str, steps: Sequence[Step]) -> None:
        allowed = {
            "switch": self._switches,
            "coil": self._coils,
            "device": [device.name for device in self.devices],
            "route": self.steps,
            "option": {option.name for shot in self.shots.values() for option in shot.options},
        }
        for step in steps:
            if step[0] not in STEPS:
                raise GameError(f"{owner} has no step '{step[0]}'{near(step[0], STEPS)}", self._file)
            kinds = STEPS[step[0]]
            if len(step) - 1 != len(kinds):
                raise GameError(f"{owner}: step '{step[0]}' takes {', '.join(kinds)}", self._file)
            for kind, value in zip(kinds, step[1:], strict=True):
                self._check_value(owner, kind, value, allowed)
        ends = [number for number, step in enumerate(steps) if step[0] in ENDS]
        if ends != [len(steps) - 1]:
            raise GameError(f"{owner} must have one of {', '.join(ENDS)} as its last step only", self._file)

    def _check_value(self, owner: str, kind: str, value: Any, allowed: dict[str, Any]) -> None:
        if kind == "ms":
            if not isinstance(value, int) or value < 0:
                raise GameError(f"{owner}: {value!r} is no time in whole milliseconds", self._file)
        elif kind in ("switches", "routes"):
            for one in value:
                self._known(owner, one, allowed["switch" if kind == "switches" else "route"])
        elif kind == "route or none":
            if value:
                self._known(owner, value, allowed["route"])
        elif kind in allowed:
            self._known(owner, value, allowed[kind])

    def _known(self, owner: str, name: str, allowed: Iterable[str]) -> None:
        if name not in allowed:
            raise GameError(f"{owner} names '{name}', which is not there{near(name, allowed)}", self._file)


def near(name: str, names: Iterable[str]) -> str:
    """ "; did you mean 'x'?" for the name that comes nearest, else ""."""
    found = difflib.get_close_matches(name, list(names), 1)
    return f"; did you mean '{found[0]}'?" if found else ""


def _options_line(shot: Shot) -> str:
    words = [f"{o.name}={o.least}-{o.most}, usually {o.usual}" for o in shot.options]
    return f" ({'; '.join(words)})" if words else ""
