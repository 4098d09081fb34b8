"""Random charts, described once and built twice: for the engine and for the transcription of appendix D.

Every state and transition writes down that it was left, taken or entered; some also raise an event
or fail. Guards ask for states, for what was written so far, or fail. Charts with eventless
transitions and raised events would run for ever, so those spend fuel that each event renews.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import appendix_d as reference
from exercised import Tallied

from firmware.base.errors import ChartError
from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Final, History, Node, Parallel, Region, State, external
from firmware.charts.pack import pack

EVENTS = ("e", "f", "g.1", "g.2", "h")
HEARD = ("e", "f", "g", "g.1", "g.2", "g.*", "h", "e f", "*", "error.execution", "done.state", "done")
FUEL = 4
ROOM = 1024  # events that can wait in the engine; the transcription's queues have no end


@dataclass
class Spec:
    name: str
    kind: str = "state"
    children: list[Spec] = field(default_factory=list)
    initial: tuple[str, ...] = ()
    enter: tuple[str, ...] = ()
    exit: tuple[str, ...] = ()
    does: tuple[str, ...] = ()

    def walk(self) -> list[Spec]:
        return [self] + [s for child in self.children for s in child.walk()]


@dataclass
class Move:
    state: str
    hears: str | None
    targets: tuple[str, ...]
    external: bool
    does: tuple[str, ...]
    guard: str


@dataclass
class Chart:
    root: Spec
    moves: list[Move]


class World:
    """What actions write down and guards read."""

    def __init__(self) -> None:
        self.log: list[str] = []
        self.fuel = FUEL
        self.raise_: Callable[[str], None] = lambda name: None


def act(world: World, name: str) -> None:
    """The action called `name`: 'note_x', 'fail_x', 'burn_x' or 'raise_x' with x the event's number."""
    world.log.append(name)
    kind, _, rest = name.partition("_")
    if kind == "fail" and world.fuel > 0:
        world.fuel -= 1
        raise ZeroDivisionError(name)
    if kind == "burn":
        world.fuel -= 1
    if kind == "raise" and world.fuel > 0:
        world.fuel -= 1
        world.raise_(EVENTS[int(rest.split("_")[0])])


def ask(world: World, name: str) -> bool:
    """The guard called `name`."""
    if name == "fuelled":
        return world.fuel > 0
    if name == "failing":
        raise ZeroDivisionError(name)
    return (len(world.log) * 7 + int(name.split("_")[1])) % 3 != 0


class Maker:
    """Draws charts."""

    def __init__(self, seed: int) -> None:
        """Every other seed draws plain charts: no regions in regions, no histories, each to itself."""
        self.rng = random.Random(seed)
        self.plain = seed % 2 == 0
        self.made = 0

    def name(self, prefix: str) -> str:
        self.made += 1
        return f"{prefix}{self.made}"

    def actions(self, tag: str, risky: bool = True) -> tuple[str, ...]:
        found = [f"note_{tag}"]
        if risky and self.rng.random() < 0.12:
            found.append(f"raise_{self.rng.randrange(len(EVENTS))}_{tag}")
        if risky and self.rng.random() < 0.04:
            found.insert(self.rng.randrange(len(found) + 1), f"fail_{tag}")
        return tuple(found)

    def state(self, depth: int) -> Spec:
        rng = self.rng
        spec = Spec(self.name("s"))
        roll = rng.random()
        if depth > 0 and roll < 0.45:
            spec.children = [self.state(depth - 1) for _ in range(rng.randint(1, 3))]
            if rng.random() < 0.3:
                spec.children.append(Spec(self.name("z"), "final"))
            spec.initial = (rng.choice(spec.children).name,)
        elif depth > 0 and roll < 0.65 and not self.plain:
            spec.kind = "parallel"
            spec.children = [self.state(depth - 1) for _ in range(rng.randint(2, 3))]
        if spec.children and rng.random() < 0.35 and not self.plain:
            self.remember(spec)
        if rng.random() < 0.7:
            spec.enter = self.actions(f"in_{spec.name}")
            spec.exit = self.actions(f"out_{spec.name}")
        return spec

    def remember(self, spec: Spec) -> None:
        """Give `spec` a history, now and then as its own initial state or its inner one's."""
        rng = self.rng
        past = Spec(self.name("h"), rng.choice(("shallow", "deep")))
        plain = list(spec.children)
        if spec.kind == "state":
            child = rng.choice(plain)
            past.initial = (child.name,)
            if past.kind == "deep" and rng.random() < 0.4:
                inner = [s for s in child.walk() if s.kind in ("state", "final")]
                past.initial = (rng.choice(inner).name,)
            if rng.random() < 0.2:
                spec.initial = (past.name,)
        else:
            past.initial = tuple(child.name for child in plain)
        past.does = self.actions(f"past_{past.name}", False) if rng.random() < 0.5 else ()
        spec.children.append(past)
        if spec.kind == "state" and rng.random() < 0.4:
            spec.does = self.actions(f"start_{spec.name}", False)

    def chart(self) -> Chart:
        root = Spec(self.name("r"))
        root.children = [self.state(3) for _ in range(self.rng.randint(1, 3))]
        root.initial = (self.rng.choice(root.children).name,)
        return Chart(root, [])

    def machine(self) -> list[Chart]:
        charts = [self.chart() for _ in range(self.rng.randint(1, 3))]
        everything = [s for chart in charts for s in chart.root.walk()]
        for chart in charts:
            mine = chart.root.walk()
            sources = [s for s in mine if s.kind in ("state", "parallel")]
            for _ in range(self.rng.randint(2, 3 * len(sources))):
                chart.moves.append(self.move(sources, mine, everything, len(chart.moves)))
        return charts

    def move(self, sources: list[Spec], mine: list[Spec], everything: list[Spec], tag: int) -> Move:
        rng = self.rng
        source = rng.choice(sources)
        targets: tuple[str, ...] = ()
        if rng.random() < 0.85:
            within = source.walk()[1:]
            pool = mine[1:] if self.plain else mine
            if rng.random() < 0.05 and not self.plain:
                pool = everything
            elif within and rng.random() < 0.3:
                pool = within
            targets = (rng.choice(pool).name,)
            pair = self.pair(mine) if rng.random() < 0.15 else ()
            targets = pair or targets
        hears: str | None = rng.choice(HEARD)
        if rng.random() < 0.12:
            hears = "done.state." + rng.choice(mine).name
        guard = self.guard(everything)
        does = self.actions(f"do_{source.name}_{tag}") if rng.random() < 0.8 else ()
        if rng.random() < 0.12:
            hears, guard, does = None, "fuelled", (f"burn_{source.name}_{tag}",)
        outer = rng.random() < 0.3 and not (self.plain and source.name[0] == "r")
        return Move(source.name, hears, targets, outer, does, guard)

    def pair(self, mine: list[Spec]) -> tuple[str, ...]:
        """Targets in two children of one parallel state."""
        parallels = [s for s in mine if s.kind == "parallel"]
        if not parallels:
            return ()
        children = [c for c in self.rng.choice(parallels).children if c.kind in ("state", "parallel")]
        a, b = self.rng.sample(children, 2)
        return (self.rng.choice(a.walk()).name, self.rng.choice(b.walk()).name)

    def guard(self, everything: list[Spec]) -> str:
        roll = self.rng.random()
        word = "not " if self.rng.random() < 0.4 else ""
        if roll < 0.15:
            places = [s for s in everything if s.kind in ("state", "parallel", "final")]
            return f"{word}in {self.rng.choice(places).name}"
        if roll < 0.3:
            return f"{word}odd_{self.rng.randrange(3)}"
        return "failing" if roll < 0.32 else ""


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
        return sorted(name for number, name in self.states if self.engine.inside(number))


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
