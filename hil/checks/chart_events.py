"""Checks of what passes between charts: events that nobody raises, and events that nobody hears."""

import sys
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path
from types import FrameType
from typing import NamedTuple

from firmware.charts.events import EVERY, hears
from firmware.charts.model import FINAL, PARALLEL
from firmware.charts.suggest import did_you_mean
from firmware.console import OPENED, Console
from firmware.play import feature, rule_context
from firmware.play.interfaces import GameModule, PackedCharts
from hil.checks.chart_finding import ChartFinding
from hil.checks.chart_source.places import Place
from hil.checks.chart_source.reading import Move, Reading

PASSED_ON = (feature.__file__, rule_context.__file__)  # where handles are made for others
DEEPEST = 12


class Handle(NamedTuple):
    """An event that somebody can raise, and the calls that asked for the handle, the innermost first."""

    event: str
    asked: tuple[Place, ...]

    def place(self, folder: Path) -> Place | None:
        """The innermost of those calls that is in `folder`; None when the game did not ask."""
        return next((place for place in self.asked if folder in place.path.parents), None)


class Overheard(Console):
    """A console that records who asks for handles on events. It is set up for checks, not to run."""

    handles: list[Handle]

    def _build(self, game: GameModule, packed: PackedCharts | None) -> None:
        self.handles = []
        handle = self.play.event

        def event(name: str) -> rule_context.Signal:
            self.handles.append(Handle(name, _callers()))
            return handle(name)

        vars(self.play)["event"] = event  # for this one object, in the method's place
        super()._build(game, packed)

    def raised(self) -> set[str]:
        """Every event that can come: those with a handle, and those that the console makes of switches."""
        names = {handle.event for handle in self.handles} | {"playfield"} | set(self.switch_names)
        return names | {OPENED + name for name in self.switch_names}


def _callers() -> tuple[Place, ...]:
    frame: FrameType | None = sys._getframe(2)
    found: list[Place] = []
    while frame is not None and len(found) < DEEPEST:
        if frame.f_code.co_filename not in PASSED_ON:
            found.append(Place(Path(frame.f_code.co_filename).resolve(), frame.f_lineno))
        frame = frame.f_back
    return tuple(found)


def unraised(reading: Reading, raised: Collection[str]) -> Iterator[ChartFinding]:
    """Every event that a row waits for can come."""
    for move in reading.moves:
        for descriptor in move.row.hears:
            if not _can_come(reading, move, descriptor, raised):
                near = did_you_mean(descriptor, sorted(raised))
                text = f"'{reading.charts[move.chart].region.name}' waits for the event '{descriptor}'"
                yield ChartFinding(f"{text}, which nobody raises{near}", move.place, fatal=False)


def _can_come(reading: Reading, move: Move, descriptor: str, raised: Collection[str]) -> bool:
    if descriptor == EVERY or descriptor.startswith("error"):
        return True
    tree = reading.tree
    if descriptor.startswith("done.state."):
        state = tree.scopes[move.chart].get(descriptor.removeprefix("done.state."), 0)
        inside = [s for s in range(state + 1, tree.end[state]) if tree.kind[s] == FINAL]
        return bool(inside) and (tree.kind[state] == PARALLEL or any(tree.parent[s] == state for s in inside))
    return any(hears(descriptor, name) for name in raised)


def unheard(reading: Reading, handles: Sequence[Handle], folder: Path) -> Iterator[ChartFinding]:
    """Every event that the game itself raises is heard; what the kit offers may be left alone."""
    heard = {descriptor for move in reading.moves for descriptor in move.row.hears}
    told: set[str] = set()
    for handle in handles:
        place = handle.place(folder)
        if place is None or handle.event in told or any(hears(word, handle.event) for word in heard):
            continue
        told.add(handle.event)
        near = did_you_mean(handle.event, sorted(heard))
        yield ChartFinding(
            f"the event '{handle.event}' is raised, but no chart waits for it{near}", place, fatal=False
        )
