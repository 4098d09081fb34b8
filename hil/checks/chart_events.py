"""Checks of events between charts: those that nothing raises, and those that no chart waits for."""

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
from hil.checks.chart_source.reading import ParsedCharts, Transition
from hil.likeness import near as near_miss

FORWARDERS = (feature.__file__, rule_context.__file__)  # files that only ask for handles on behalf of others
MOST_CALLERS = 12


class Handle(NamedTuple):
    """A handle, with which code can raise `event`; `asked`: the calls that asked for it, innermost first."""

    event: str
    asked: tuple[Place, ...]

    def place(self, folder: Path) -> Place | None:
        """The innermost of those calls that is in `folder`, a game's; None when another file asked."""
        return next((place for place in self.asked if folder in place.path.parents), None)


class HandleRecorder(Console):
    """A console that records every request for an event handle while it is set up; not meant to run."""

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
        """Every event that can occur: those with a handle, and those that the console makes of switches."""
        names = {handle.event for handle in self.handles} | {"playfield"} | set(self.switch_names)
        return names | {OPENED + name for name in self.switch_names}


def _callers() -> tuple[Place, ...]:
    """Who asked for the handle: the calls above the recorder, innermost first."""
    frame: FrameType | None = sys._getframe(2)
    found: list[Place] = []
    while frame is not None and len(found) < MOST_CALLERS:
        if frame.f_code.co_filename not in FORWARDERS:
            found.append(Place(Path(frame.f_code.co_filename).resolve(), frame.f_lineno))
        frame = frame.f_back
    return tuple(found)


def unraised(parsed: ParsedCharts, raised: Collection[str]) -> Iterator[ChartFinding]:
    """Find rows that wait for an event which nothing raises."""
    for transition in parsed.transitions:
        for descriptor in transition.row.hears:
            if not _can_come(parsed, transition, descriptor, raised):
                near = near_miss(descriptor, raised)
                text = f"'{parsed.charts[transition.chart].region.name}' waits for the event '{descriptor}'"
                yield ChartFinding(f"{text}, which nobody raises{near}", transition.place, fatal=False)


def _can_come(parsed: ParsedCharts, transition: Transition, descriptor: str, raised: Collection[str]) -> bool:
    if descriptor == EVERY or descriptor.startswith("error"):
        return True
    tree = parsed.tree
    if descriptor.startswith("done.state."):
        state = tree.scopes[transition.chart].get(descriptor.removeprefix("done.state."), 0)
        inside = [s for s in range(state + 1, tree.end[state]) if tree.kind[s] == FINAL]
        return bool(inside) and (tree.kind[state] == PARALLEL or any(tree.parent[s] == state for s in inside))
    return any(hears(descriptor, name) for name in raised)


def unheard(parsed: ParsedCharts, handles: Sequence[Handle], folder: Path) -> Iterator[ChartFinding]:
    """Find events that the game's own code can raise and that no row waits for."""
    heard = {descriptor for transition in parsed.transitions for descriptor in transition.row.hears}
    reported: set[str] = set()
    for handle in handles:
        place = handle.place(folder)
        if place is None or handle.event in reported or any(hears(word, handle.event) for word in heard):
            continue
        reported.add(handle.event)
        near = did_you_mean(handle.event, sorted(heard))
        yield ChartFinding(
            f"the event '{handle.event}' is raised, but no chart waits for it{near}", place, fatal=False
        )
