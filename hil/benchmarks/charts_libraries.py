"""The scenarios in other engines, each written as its documentation recommends.

Every function gives an object with the counts, and a call that sends the scenario's event once.
They raise ImportError where the library is not installed.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple, Protocol, cast

from hil.benchmarks.charts_outline import Place, outline
from hil.benchmarks.charts_scenarios import Scenario

if TYPE_CHECKING:
    from sismic.model import Statechart
    from statemachine.io import StateDefinition
    from transitions import Machine
    from transitions.core import TransitionConfigDict

ALL = "all"  # the state that holds the regions

Send = Callable[[], object]


class Counted(Protocol):
    """What every contender counts: actions, exit actions, entry actions."""

    @property
    def count(self) -> int:
        """Actions run."""

    @property
    def left(self) -> int:
        """Exit actions run."""

    @property
    def entered(self) -> int:
        """Entry actions run."""


class Contender(NamedTuple):
    """One way of running a scenario, ready: its counts, and a call that sends the scenario's event once."""

    counts: Counted
    send: Send


class Counts:
    """What actions count, as methods without arguments.

    charts_by_hand.ByHand has the same methods itself: a base more would cost it a lookup on MicroPython.
    """

    def __init__(self) -> None:
        self.count = 0
        self.left = 0
        self.entered = 0
        self.open = True

    def act(self) -> None:
        """Count a transition's action."""
        self.count += 1

    def leave(self) -> None:
        """Count an exit action."""
        self.left += 1

    def enter(self) -> None:
        """Count an entry action."""
        self.entered += 1

    def is_open(self) -> bool:
        """The guard: whether a guarded transition may be taken."""
        return self.open


def transitions_flat(scenario: Scenario) -> Contender | None:
    """`transitions.Machine`; None for what is not flat."""
    from transitions import Machine

    regions = outline(scenario)
    if len(regions) > 1 or any(place.inside for place in regions[0].inside):
        return None
    return _transitions(Machine, scenario, regions, queued=False)


def transitions_nested(scenario: Scenario) -> Contender:
    """`transitions.extensions.HierarchicalMachine` with `queued=True`, as run to completion needs it."""
    from transitions.extensions import HierarchicalMachine

    return _transitions(HierarchicalMachine, scenario, outline(scenario), queued=True)


def _transitions(make: "type[Machine]", scenario: Scenario, regions: list[Place], queued: bool) -> Contender:
    counts = Counts()
    many = len(regions) > 1
    inside = regions[0].inside
    make(
        counts,
        states=[_all(regions)] if many else [_nested(place) for place in inside],
        initial=ALL if many else inside[0].name,
        transitions=[move for region in regions for move in _moves(region, many)],
        queued=queued,
        auto_transitions=False,
        ignore_invalid_triggers=True,
    )
    counts.entered += 0 if many else _depth(inside[0])
    send: Send = getattr(counts, scenario.round[0])
    return Contender(counts, send)


def _all(regions: list[Place]) -> dict[str, object]:
    return {"name": ALL, "parallel": [_nested(region) for region in regions]}


def _moves(region: Place, many: bool) -> "list[TransitionConfigDict]":
    """The transitions of a region as `transitions` takes them."""
    return [
        {
            "trigger": move.event,
            "source": _joined(place, many),
            "dest": None if move.target is None else _joined(_named(region, move.target), many),
            "before": move.does,
            "conditions": move.guard,
        }
        for place in region.walk()
        for move in place.moves
    ]


def _nested(place: Place) -> dict[str, object]:
    given: dict[str, object] = {"name": place.name}
    if place.enter:
        given["on_enter"] = place.enter
    if place.exit:
        given["on_exit"] = place.exit
    if place.inside:
        given["children"] = [_nested(inner) for inner in place.inside]
        given["initial"] = place.inside[0].name
    return given


def _joined(place: Place, many: bool) -> str:
    return "_".join(((ALL,) if many else ()) + place.path)


def _named(region: Place, name: str) -> Place:
    return next(place for place in region.walk() if place.name == name)


def _depth(place: Place) -> int:
    """How many of the states entered at the start count it; transitions calls nothing then."""
    return bool(place.enter) + (_depth(place.inside[0]) if place.inside else 0)


def sismic(scenario: Scenario) -> Contender:
    """`sismic.interpreter.Interpreter`."""
    from sismic.interpreter import Interpreter

    counts = Counts()
    interpreter = Interpreter(_statechart(outline(scenario)), initial_context={"me": counts})
    interpreter.execute()
    event = scenario.round[0]

    def send() -> None:
        interpreter.queue(event)
        interpreter.execute()

    return Contender(counts, send)


def _statechart(regions: list[Place]) -> "Statechart":
    """The scenario for sismic, whose actions are texts that it runs: `me` has the counts."""
    from sismic.model import OrthogonalState, Statechart, Transition

    chart = Statechart("scenario")
    if len(regions) > 1:
        chart.add_state(OrthogonalState(ALL), None)
    for region in regions:
        _add(chart, region, ALL if len(regions) > 1 else None)
    for place in [place for region in regions for place in region.walk()]:
        for move in place.moves:
            guard = move.guard and f"me.{move.guard}()"
            does = f"me.{move.does}()"
            chart.add_transition(Transition(place.name, move.target, move.event, guard, does))
    return chart


def _add(chart: "Statechart", place: Place, parent: str | None) -> None:
    """Add a state and all inside it."""
    from sismic.model import BasicState, CompoundState

    code = {
        "on_entry": place.enter and f"me.{place.enter}()",
        "on_exit": place.exit and f"me.{place.exit}()",
    }
    if place.inside:
        chart.add_state(CompoundState(place.name, initial=place.inside[0].name, **code), parent)
    else:
        chart.add_state(BasicState(place.name, **code), parent)
    for inner in place.inside:
        _add(chart, inner, place.name)


def statemachine(scenario: Scenario) -> Contender:
    """`statemachine.StateChart` of python-statemachine."""
    from statemachine.io import create_machine_class_from_definition

    counts = Counts()
    regions = outline(scenario)
    if len(regions) > 1:
        inside = {region.name: _defined(region, True, counts) for region in regions}
        states: dict[str, StateDefinition] = {ALL: {"initial": True, "parallel": True, "states": inside}}
    else:
        states = {place.name: _defined(place, not i, counts) for i, place in enumerate(regions[0].inside)}
    machine = create_machine_class_from_definition(
        "Scenario",
        states,
        validate_disconnected_states=False,
        validate_final_reachability=False,
        validate_trap_states=False,
    )()
    event = scenario.round[0]
    return Contender(counts, lambda: machine.send(event))


def _defined(place: Place, first: bool, counts: Counts) -> "StateDefinition":
    """A state as python-statemachine defines one; `first`: the initial one of its parent."""
    given: dict[str, object] = {"initial": first}
    if place.enter:
        given["enter"] = getattr(counts, place.enter)
    if place.exit:
        given["exit"] = getattr(counts, place.exit)
    if place.inside:
        given["states"] = {inner.name: _defined(inner, not i, counts) for i, inner in enumerate(place.inside)}
    moves: dict[str, list[dict[str, object]]] = {}
    for move in place.moves:
        transition: dict[str, object] = {"target": move.target, "on": getattr(counts, move.does)}
        if move.guard:
            transition["cond"] = getattr(counts, move.guard)
        moves.setdefault(move.event, []).append(transition)
    if moves:
        given["on"] = moves
    return cast("StateDefinition", given)
