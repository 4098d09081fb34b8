"""Random machines of charts: what they are made of, what their actions and guards do, and who draws them.

Charts with eventless transitions and raised events would run for ever, so those spend fuel that each
event renews.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

EVENTS = ("e", "f", "g.1", "g.2", "h")
HEARD = ("e", "f", "g", "g.1", "g.2", "g.*", "h", "e f", "*", "error.execution", "done.state", "done")
FUEL = 4


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
