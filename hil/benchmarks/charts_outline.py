"""A scenario as nested states with names that are unique in the whole machine, for other engines."""

from dataclasses import dataclass, field

from firmware.charts.model import Node, Region
from firmware.charts.row import rows_of
from hil.benchmarks.charts_scenarios import Scenario


@dataclass
class Move:
    """One transition; no target means it leaves nothing."""

    event: str
    target: str | None
    does: str
    guard: str | None


@dataclass
class Place:
    """One state; `path` names it and those around it."""

    name: str
    path: tuple[str, ...] = ()
    enter: str | None = None
    exit: str | None = None
    inside: list["Place"] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)

    def walk(self) -> list["Place"]:
        """The state and all inside it."""
        return [self] + [place for inner in self.inside for place in inner.walk()]


def outline(scenario: Scenario) -> list[Place]:
    """The regions; with one region only, its states are those of the machine."""
    many = len(scenario.charts) > 1
    return [_region(scenario, index, f"{index}" if many else "") for index in range(len(scenario.charts))]


def _region(scenario: Scenario, index: int, suffix: str) -> Place:
    region = Place(f"region{index}", (f"region{index}",))
    region.inside = [_place(node, suffix, region.path if suffix else ()) for node in scenario.states]
    known = {place.name: place for inner in region.inside for place in inner.walk()}
    for row in rows_of(Region(region.name, None, scenario.charts[index])):
        target = row.targets[0] if row.targets else None
        for name in (row.state, target):
            if name is not None and f"{name}{suffix}" not in known:
                place = Place(f"{name}{suffix}", (*(region.path if suffix else ()), f"{name}{suffix}"))
                known[place.name] = place
                region.inside.append(place)
        move = Move(row.hears[0], target and f"{target}{suffix}", row.does[0], row.guard or None)
        known[f"{row.state}{suffix}"].moves.append(move)
    return region


def _place(node: Node, suffix: str, above: tuple[str, ...]) -> Place:
    name = f"{node.name}{suffix}"
    place = Place(name, (*above, name), _only(node.enter), _only(node.exit))
    place.inside = [_place(child, suffix, place.path) for child in node.states]
    return place


def _only(names: object) -> str | None:
    return str(names) if names else None
