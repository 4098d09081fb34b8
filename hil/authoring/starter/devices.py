"""The devices of a machine file, as a new game needs them: classes of the kit, groups of lights, points."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

from hil.authoring.small_rules import OUTLANE, POINTS
from hil.authoring.words import as_class, spoken
from hil.machine.kinds import KINDS
from hil.machine.places import names
from hil.machine.reading import Line, read
from hil.machine.tables import MachineTables

IMPORTED = ("Ramp", "Orbit", "Hole", "Feature")
FIRST_SEARCH = 1  # a hole that is searched later holds balls


@dataclass(frozen=True)
class Device:
    """A device that has a class of the kit: its name, its feature, its places for balls, the shot into it."""

    name: str
    feature: str
    places: str = ""
    locks: bool = False
    shot: str = ""

    @property
    def cls(self) -> str:
        """The name of its class, which is none that its file imports."""
        name = as_class(self.feature)
        return f"{name}Shot" if name in IMPORTED else name

    @property
    def words(self) -> str:
        """In a sentence."""
        return spoken(self.name)


@dataclass(frozen=True)
class Group:
    """Lanes or targets side by side."""

    kind: str
    name: str


@dataclass(frozen=True)
class Devices:
    """What a machine has for rules."""

    orbits: list[Device]
    ramps: list[Device]
    holes: list[Device]
    groups: list[Group]
    points: list[tuple[str, int]]
    """What is shot, with its small points."""


def of_machine(text: str, made: MachineTables) -> Devices:
    """The devices of a machine file of this text, which has no complaints and gives these tables."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "machine.py"
        path.write_text(text, encoding="utf-8")
        lines = read(path, "machine.py", KINDS).lines
    return Devices(
        [_orbit(name) for line in lines if line.kind == "orbit" for name in _names(line)],
        [Device(_name(line), _name(line)) for line in lines if line.kind == "ramp"],
        [_hole(line, made) for line in lines if line.kind == "hole"],
        [group for group in map(_group, lines) if group],
        [(_name(line), _points(line)) for line in lines if line.kind in POINTS],
    )


def _name(line: Line) -> str:
    return str(line.arguments.get("name") or line.kind.removesuffix("s"))


def _names(line: Line) -> list[str]:
    n = line.arguments.get("n", 1)
    return names(_name(line), n if isinstance(n, int | tuple) else 1)


def _points(line: Line) -> int:
    return OUTLANE if line.arguments.get("drains") else POINTS[line.kind]


def _group(line: Line) -> Group | None:
    """Two or more numbered lanes or targets."""
    numbered = isinstance(line.arguments.get("n", 1), int) and len(_names(line)) > 1
    return Group(line.kind, _name(line)) if numbered and line.kind in ("lanes", "targets", "drops") else None


def _orbit(name: str) -> Device:
    stem, _, side = name.partition(".")
    return Device(name, f"{side}_{stem}" if side else stem)


def _hole(line: Line, made: MachineTables) -> Device:
    name = _name(line)
    shots = [str(shot[0]) for shot in made.host.SHOTS if f"'{name}'" in repr(shot)]
    places = _names(line)
    text = ", ".join(f'"{place}"' for place in places) + ("," if len(places) == 1 else "")
    search = line.arguments.get("search", FIRST_SEARCH)
    locks = isinstance(search, int) and search > FIRST_SEARCH
    return Device(name, name, text, locks, min(shots, key=len, default=""))
