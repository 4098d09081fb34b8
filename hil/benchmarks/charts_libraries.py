"""The scenarios in other people's engines, each as its own documentation would have it.

Every function gives an object with the counts, and a call that sends the scenario's event once.
They raise ImportError where the library is not installed.
"""

from collections.abc import Callable
from typing import Any

from hil.benchmarks.charts_outline import Place, outline
from hil.benchmarks.charts_scenarios import Scenario

Send = Callable[[], object]


class Counts:
    """What actions count, as methods without arguments."""

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


def transitions_flat(scenario: Scenario) -> "tuple[Any, Send] | None":
    """`transitions.Machine`; None for what is not flat."""
    from transitions import Machine

    regions = outline(scenario)
    if len(regions) > 1 or any(place.inside for place in regions[0].inside):
        return None
    return _transitions(Machine, scenario, regions)


def transitions_nested(scenario: Scenario) -> "tuple[Any, Send]":
    """`transitions.extensions.HierarchicalMachine` with `queued=True`, as run to completion needs it."""
    from transitions.extensions import HierarchicalMachine

    return _transitions(HierarchicalMachine, scenario, outline(scenario), queued=True)


def _transitions(kind: Any, scenario: Scenario, regions: list[Place], **options: Any) -> "tuple[Any, Send]":
    counts = Counts()
    many = len(regions) > 1
    if many:
        states: Any = [{"name": "all", "parallel": [_nested(region) for region in regions]}]
        initial = "all"
    else:
        states = [_nested(place) for place in regions[0].inside]
        initial = regions[0].inside[0].name
    moves = []
    for region in regions:
        for place in region.walk():
            for move in place.moves:
                moves.append(
                    {
                        "trigger": move.event,
                        "source": _joined(place, many),
                        "dest": None if move.target is None else _joined(_named(region, move.target), many),
                        "before": move.does,
                        "conditions": move.guard,
                    }
                )
    kind(
        counts,
        states=states,
        initial=initial,
        transitions=moves,
        auto_transitions=False,
        ignore_invalid_triggers=True,
        **options,
    )
    counts.entered += 0 if many else _depth(regions[0].inside[0])
    return counts, getattr(counts, scenario.round[0])


def _nested(place: Place) -> dict[str, Any]:
    given: dict[str, Any] = {"name": place.name}
    if place.enter:
        given["on_enter"] = place.enter
    if place.exit:
        given["on_exit"] = place.exit
    if place.inside:
        given["children"] = [_nested(inner) for inner in place.inside]
        given["initial"] = place.inside[0].name
    return given


def _joined(place: Place, many: bool) -> str:
    return "_".join((("all",) if many else ()) + place.path)


def _named(region: Place, name: str) -> Place:
    return next(place for place in region.walk() if place.name == name)


def _depth(place: Place) -> int:
    """How many of the states entered at the start count it; transitions calls nothing then."""
    return bool(place.enter) + (_depth(place.inside[0]) if place.inside else 0)


def sismic(scenario: Scenario) -> "tuple[Any, Send]":
    """`sismic.interpreter.Interpreter`."""
    from sismic.interpreter import Interpreter
    from sismic.model import (
        BasicState,
        CompoundState,
        OrthogonalState,
        Statechart,
        Transition,
    )

    counts = Counts()
    chart = Statechart("scenario")
    regions = outline(scenario)

    def add(place: Place, parent: str | None) -> None:
        code = {
            "on_entry": place.enter and f"me.{place.enter}()",
            "on_exit": place.exit and f"me.{place.exit}()",
        }
        if place.inside:
            chart.add_state(CompoundState(place.name, initial=place.inside[0].name, **code), parent)
        else:
            chart.add_state(BasicState(place.name, **code), parent)
        for inner in place.inside:
            add(inner, place.name)

    if len(regions) > 1:
        chart.add_state(OrthogonalState("all"), None)
    for region in regions:
        add(region, "all" if len(regions) > 1 else None)
    for region in regions:
        for place in region.walk():
            for move in place.moves:
                guard = move.guard and f"me.{move.guard}()"
                does = f"me.{move.does}()"
                chart.add_transition(Transition(place.name, move.target, move.event, guard, does))
    interpreter = Interpreter(chart, initial_context={"me": counts})
    interpreter.execute()
    event = scenario.round[0]

    def send() -> None:
        interpreter.queue(event)
        interpreter.execute()

    return counts, send


def statemachine(scenario: Scenario) -> "tuple[Any, Send]":
    """`statemachine.StateChart` of python-statemachine."""
    from statemachine.io import create_machine_class_from_definition

    counts = Counts()
    regions = outline(scenario)

    def described(place: Place, first: bool) -> dict[str, Any]:
        given: dict[str, Any] = {"initial": first}
        if place.enter:
            given["enter"] = getattr(counts, place.enter)
        if place.exit:
            given["exit"] = getattr(counts, place.exit)
        if place.inside:
            given["states"] = {inner.name: described(inner, not i) for i, inner in enumerate(place.inside)}
        for move in place.moves:
            transition: dict[str, Any] = {"target": move.target, "on": getattr(counts, move.does)}
            if move.guard:
                transition["cond"] = getattr(counts, move.guard)
            given.setdefault("on", {}).setdefault(move.event, []).append(transition)
        return given

    if len(regions) > 1:
        inside = {region.name: described(region, True) for region in regions}
        states: dict[str, Any] = {"all": {"initial": True, "parallel": True, "states": inside}}
    else:
        states = {place.name: described(place, not i) for i, place in enumerate(regions[0].inside)}
    machine = create_machine_class_from_definition(
        "Scenario",
        states,
        validate_disconnected_states=False,
        validate_final_reachability=False,
        validate_trap_states=False,
    )()
    event = scenario.round[0]
    return counts, lambda: machine.send(event)
