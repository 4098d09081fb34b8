"""Random charts, described once and built twice: for the engine and for the transcription of appendix D.

Every state and transition writes down that it was left, taken or entered; some also raise an event
or fail. Guards ask for states, for what was written so far, or fail.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence

import appendix_d as reference
from exercised import Tallied
from random_machines import EVENTS, FUEL, Chart, Maker, Move, Spec, World, act, ask

from firmware.base.errors import ChartError
from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Final, History, Node, Parallel, Region, State, external
from firmware.charts.pack import pack

ROOM = 1024  # events that can wait in the engine; the transcription's queues have no end


class Fast:
    """The machine in the engine."""

    def __init__(self, charts: list[Chart], names: Sequence[str] = EVENTS) -> None:
        self.world = World()
        self.endless = False
        self.events = Events()
        for name in names:
            self.events.add(name)
        self.home = {s.name: c.root.name for c in charts for s in c.root.walk()}
        self.table = pack([self.region(chart) for chart in charts], self.events)
        self.engine = Engine(self.table, Timers(), room=ROOM)
        self.states = [(self.engine.state_id(self.path(n)), n) for n in self.home if n[0] != "h"]
        self.world.raise_ = lambda name: self.engine.raise_(self.events.find(name))

    def path(self, name: str) -> str:
        return name if name == self.home[name] else f"{self.home[name]}/{name}"

    def region(self, chart: Chart) -> Region:
        world = self.world
        members: dict[str, object] = {}
        for names in [s.enter + s.exit + s.does for s in chart.root.walk()] + [m.does for m in chart.moves]:
            for name in names:
                members[name] = lambda owner, event, name=name: act(world, name)
        rows = []
        for move in chart.moves:
            guard = move.guard
            words = guard.split()
            if words and "in" in words:
                guard = guard.replace(words[-1], self.path(words[-1]))
            elif words:
                name = words[-1]
                members[name] = lambda owner, event, name=name: ask(world, name)
            targets = tuple(self.path(t) for t in move.targets)
            target = external(*targets) if move.external and targets else (targets or None)
            state = "(any)" if move.state == chart.root.name else move.state
            rows.append((state, move.hears, target, move.does, guard or None))
        owner = type("Owner", (), members)()
        return Region(chart.root.name, owner, tuple(rows), self.nodes(chart.root), chart.root.initial)

    def nodes(self, spec: Spec) -> tuple[Node, ...]:
        return tuple(self.node(child) for child in spec.children)

    def node(self, spec: Spec) -> Node:
        if spec.kind == "final":
            return Final(spec.name, spec.enter, spec.exit)
        if spec.kind == "parallel":
            return Parallel(spec.name, spec.enter, spec.exit, self.nodes(spec))
        if spec.kind == "state":
            return State(spec.name, spec.enter, spec.exit, spec.initial or None, self.nodes(spec), spec.does)
        return History(spec.name, spec.kind == "deep", spec.initial, spec.does)

    def settle(self) -> None:
        more = True
        while more:
            more = self.catch(self.engine.settle)

    def start(self) -> None:
        if self.catch(self.engine.start):
            self.settle()

    def catch(self, go: Callable[[], object]) -> bool:
        """Whether an action failed and there may be more to do."""
        try:
            go()
        except ZeroDivisionError:
            return True
        except ChartError as error:
            if "do not rest" not in error.text:
                raise
            self.endless = True
        return False

    def send(self, name: str) -> None:
        self.world.fuel = FUEL
        self.engine.post(self.events.find(name))
        self.settle()

    def configuration(self) -> list[str]:
        return sorted(name for number, name in self.states if self.engine.is_active(number))


class Plain:
    """The machine in the transcription."""

    def __init__(self, charts: list[Chart], tally: Counter[str]) -> None:
        self.world = World()
        self.states: dict[str, reference.State] = {}
        self.doc = reference.State("scxml", "scxml")
        root = self.doc.add(reference.State("root", "parallel"))
        for chart in charts:
            root.add(self.state(chart.root))
        self.doc.initial = reference.Transition(self.doc, target=(root,))
        for chart in charts:
            for spec in chart.root.walk():
                self.link(spec)
            for move in chart.moves:
                self.states[move.state].transitions.append(self.transition(move))
        reference.number(self.doc)
        self.endless = False
        self.interpreter = Tallied(self.doc, tally)
        self.world.raise_ = self.interpreter.raise_

    def state(self, spec: Spec) -> reference.State:
        state = reference.State(spec.name, spec.kind)
        self.states[spec.name] = state
        state.onentry = self.blocks(spec.enter)
        state.onexit = self.blocks(spec.exit)
        for child in spec.children:
            state.add(self.state(child))
        return state

    def blocks(self, names: tuple[str, ...]) -> tuple[Callable[[reference.Interpreter], None], ...]:
        return tuple((lambda interpreter, name=name: act(self.world, name)) for name in names)

    def link(self, spec: Spec) -> None:
        if spec.initial:
            state = self.states[spec.name]
            targets = tuple(self.states[name] for name in spec.initial)
            state.initial = reference.Transition(state, target=targets, content=self.blocks(spec.does))

    def transition(self, move: Move) -> reference.Transition:
        return reference.Transition(
            self.states[move.state],
            tuple(move.hears.split()) if move.hears else (),
            tuple(self.states[name] for name in move.targets),
            self.condition(move.guard) if move.guard else None,
            not move.external,
            self.blocks(move.does),
        )

    def condition(self, guard: str) -> Callable[[reference.Interpreter], bool]:
        words = guard.split()
        negated = words[0] == "not"

        def holds(interpreter: reference.Interpreter) -> bool:
            yes = interpreter.is_in(words[-1]) if "in" in words else ask(self.world, words[-1])
            return yes != negated

        return holds

    def start(self) -> None:
        self.catch(self.interpreter.start)

    def send(self, name: str) -> None:
        self.world.fuel = FUEL
        self.catch(lambda: self.interpreter.send(name))

    def catch(self, go: Callable[[], None]) -> None:
        try:
            go()
        except reference.Endless:
            self.endless = True

    def configuration(self) -> list[str]:
        return sorted(s.id for s in self.interpreter.configuration if s.id not in ("root", "scxml"))


def script(seed: int, length: int) -> list[str]:
    rng = random.Random(seed ^ 0x5EED)
    return [rng.choice(EVENTS) for _ in range(length)]


def first_difference(did: list[str], expected: list[str]) -> str:
    at = 0
    while did[at : at + 1] == expected[at : at + 1]:
        at += 1
    return f"after {did[:at][-6:]} did {did[at:][:6]}, expected {expected[at:][:6]}"


def difference(seed: int, length: int = 25, tally: Counter[str] | None = None) -> str:
    """Run one random machine in both; "" when they agree after every event. What came up is in `tally`."""
    charts = Maker(seed).machine()
    tally = Counter() if tally is None else tally
    fast, plain = Fast(charts), Plain(charts, tally)
    fast.start()
    plain.start()
    for step, name in enumerate(["start", *script(seed, length)]):
        if step:
            fast.send(name)
            plain.send(name)
        if fast.endless or plain.endless:
            tally["charts that do not come to rest"] += 1
            return "" if fast.endless == plain.endless else f"seed {seed}, step {step}: one does not rest"
        if fast.engine.dropped:
            return f"seed {seed}, step {step}: {fast.engine.dropped} events found the engine's queue full"
        if fast.world.log != plain.world.log:
            return f"seed {seed}, step {step} ({name}): {first_difference(fast.world.log, plain.world.log)}"
        if fast.configuration() != plain.configuration():
            there = f"in {fast.configuration()}, expected {plain.configuration()}"
            return f"seed {seed}, step {step} ({name}): {there}"
        tally["events compared"] += bool(step)
        fast.world.log.clear()
        plain.world.log.clear()
    return ""
