"""Random charts in which PyPI `transitions` agrees with the Recommendation, built for it and for the engine.

Zone 1: no parallel states, no target a proper descendant of its source: the same trace.
Zone 2: parallel states not in one another, every event heard in one region only, targets inside that
region, no handler on a region's own node: the same configuration and the same steps, in any order.
Measured with transitions 0.9.3 (ran); outside the zones it differs from the Recommendation. Transitions
have no actions of their own, because the library has no place for them between leaving and entering.
"""

from __future__ import annotations

import random
from collections import Counter

from random_charts import FUEL, Chart, Fast, Move, Spec, World, act, ask, first_difference
from transitions.extensions import HierarchicalMachine

LETTERS = ("e", "f", "h", "i")
RAISED = (0, 1, 4)  # e, f and h among random_charts.EVENTS


class Maker:
    """Draws one chart of a zone."""

    def __init__(self, seed: int, zone: int) -> None:
        self.rng = random.Random(seed * 2 + zone)
        self.zone = zone
        self.made = 0
        self.moves: list[Move] = []
        self.events: list[str] = []

    def name(self) -> str:
        self.made += 1
        return f"s{self.made}"

    def state(self, depth: int, parallel: bool) -> Spec:
        rng = self.rng
        spec = Spec(self.name())
        roll = rng.random()
        if depth and parallel and roll < 0.4:
            spec.kind = "parallel"
            spec.children = [self.region(depth - 1) for _ in range(rng.randint(2, 3))]
        elif depth and roll < 0.75:
            spec.children = [self.state(depth - 1, parallel) for _ in range(rng.randint(1, 3))]
            spec.initial = (rng.choice(spec.children).name,)
        spec.enter, spec.exit = self.actions(f"in_{spec.name}"), (f"note_out_{spec.name}",)
        return spec

    def region(self, depth: int) -> Spec:
        spec = Spec(self.name())
        spec.children = [self.state(depth, False) for _ in range(self.rng.randint(2, 3))]
        spec.initial = (spec.children[0].name,)
        spec.enter, spec.exit = (f"note_in_{spec.name}",), (f"note_out_{spec.name}",)
        return spec

    def actions(self, tag: str) -> tuple[str, ...]:
        risky = self.zone == 1 and self.rng.random() < 0.12
        return (f"note_{tag}", f"raise_{self.rng.choice(RAISED)}_{tag}") if risky else (f"note_{tag}",)

    def chart(self) -> Chart:
        root = Spec("r")
        root.children = [self.state(3, self.zone == 2) for _ in range(self.rng.randint(2, 3))]
        if self.zone == 2 and not any(s.kind == "parallel" for s in root.walk()):
            holder = Spec(self.name(), "parallel", [self.region(1), self.region(1)])
            holder.enter, holder.exit = (f"note_in_{holder.name}",), (f"note_out_{holder.name}",)
            root.children.append(holder)
        root.initial = (self.rng.choice(root.children).name,)
        self.scope(root, "")
        return Chart(root, self.moves)

    def scope(self, top: Spec, prefix: str) -> None:
        """Moves among the states of one region (or of the whole chart), then of the regions inside."""
        members = self.members(top)
        events = [prefix + letter for letter in LETTERS]
        self.events += events
        for source in members:
            pool = [s for s in members if s is not source and s not in source.walk()] + [source]
            if self.zone == 2:
                pool = [s for s in pool if source not in s.walk() or s is source]
            for event in self.rng.sample(events, self.rng.randint(0, 3)):
                self.moves.append(
                    Move(source.name, event, (self.rng.choice(pool).name,), False, (), self.guard())
                )
        for holder in [s for s in members if s.kind == "parallel"]:
            for region in holder.children:
                self.scope(region, prefix + region.name)

    def members(self, top: Spec) -> list[Spec]:
        """The states below `top`, down to parallel ones."""
        found = []
        for child in top.children:
            found.append(child)
            if child.kind != "parallel":
                found += self.members(child)
        return found

    def guard(self) -> str:
        return f"odd_{self.rng.randrange(3)}" if self.zone == 1 and self.rng.random() < 0.3 else ""


class Library:
    """The chart in `transitions`."""

    def __init__(self, chart: Chart) -> None:
        self.world = World()
        self.paths: dict[str, str] = {}
        for child in chart.root.children:
            self.place(child, "")
        self.machine = HierarchicalMachine(
            model=self,
            states=[self.node(child) for child in chart.root.children],
            initial=self.paths[chart.root.initial[0]],
            transitions=[self.move(move) for move in chart.moves],
            queued=True,
            ignore_invalid_triggers=True,
            auto_transitions=False,
        )
        self.world.raise_ = lambda name: self.fire(name)

    def fire(self, name: str) -> None:
        if name in self.machine.events:
            self.trigger(name)  # type: ignore[attr-defined]

    def place(self, spec: Spec, above: str) -> None:
        self.paths[spec.name] = above + spec.name
        for child in spec.children:
            self.place(child, above + spec.name + "_")

    def node(self, spec: Spec) -> dict[str, object]:
        node: dict[str, object] = {"name": spec.name}
        node["on_enter"] = [self.block(name) for name in spec.enter]
        node["on_exit"] = [self.block(name) for name in spec.exit]
        if spec.kind == "parallel":
            node["parallel"] = [self.node(child) for child in spec.children]
        elif spec.children:
            node["children"] = [self.node(child) for child in spec.children]
            node["initial"] = spec.initial[0]
        return node

    def block(self, name: str):  # type: ignore[no-untyped-def]
        return lambda: act(self.world, name)

    def move(self, move: Move) -> dict[str, object]:
        wanted: dict[str, object] = {"trigger": move.hears, "source": self.paths[move.state]}
        wanted["dest"] = self.paths[move.targets[0]]
        if move.guard:
            wanted["conditions"] = [lambda: ask(self.world, move.guard)]
        return wanted

    def configuration(self) -> list[str]:
        found: set[str] = {"r"}
        waiting = [self.state]  # type: ignore[attr-defined]
        while waiting:
            each = waiting.pop()
            if isinstance(each, list):
                waiting += each
            else:
                found |= set(each.split("_"))
        return sorted(found)


def pick(rng: random.Random, maker: Maker, engine: Fast) -> str:
    """An event: mostly one that an active state hears."""
    active = engine.configuration()
    heard = sorted({move.hears for move in maker.moves if move.hears and move.state in active})
    return rng.choice(heard if heard and rng.random() < 0.8 else maker.events)


def difference(zone: int, seed: int, length: int, tally: Counter[str]) -> str:
    """Run one random chart of a zone in both; "" when they agree as the zone says."""
    maker = Maker(seed, zone)
    chart = maker.chart()
    rng = random.Random(seed ^ 0x5EED)
    engine, library = Fast([chart], maker.events), Library(chart)
    engine.world.fuel = 0  # the library does not enter its initial states
    engine.start()
    engine.world.log.clear()
    for step in range(length + 1):
        name = pick(rng, maker, engine) if step else "the start"
        if step:
            engine.send(name)
            library.world.fuel = FUEL
            library.fire(name)
        did, expected = engine.world.log, library.world.log
        same = did == expected if zone == 1 else sorted(did) == sorted(expected)
        if not same:
            return f"zone {zone}, seed {seed}, step {step} ({name}): {first_difference(did, expected)}"
        if engine.configuration() != library.configuration():
            there = f"in {engine.configuration()}, expected {library.configuration()}"
            return f"zone {zone}, seed {seed}, step {step} ({name}): {there}"
        tally["events compared"] += bool(step)
        tally["events that moved something"] += bool(did)
        tally["states left and entered"] += len(did)
        tally["of these in a region of a parallel state"] += bool(did) and name[0] == "s"
        engine.world.log.clear()
        library.world.log.clear()
    tally["charts with parallel states"] += any(s.kind == "parallel" for s in chart.root.walk())
    return ""
