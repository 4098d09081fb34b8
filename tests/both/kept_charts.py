"""Random machines with timers, stopped in the middle by a snapshot that a fresh engine takes up.

    micropython tests/both/kept_charts.py COUNT SEED

prints what came up and, at the first difference, where; exit code 1 then.
"""

import sys

if __name__ == "__main__":
    HERE = __file__.rpartition("/")[0] or "."
    sys.path[0] = HERE
    sys.path.insert(1, HERE + "/../..")

from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.base.errors import ChartError
from firmware.base.timers import Timers
from firmware.charts import snapshot
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Final, History, Parallel, Region, State, after, external
from firmware.charts.pack import pack

NAMES = ("e", "f", "g.1", "g.2", "h")
HEARD = ("e", "f", "g", "g.1", "h", "e f", "*", "error.execution")
GROUPS = 3
STEPS = 30
FUEL = 3
FEW = 100


class Maker:
    """Draws the charts and the script of one seed; the same ones each time."""

    def __init__(self, seed):
        self.chance = Stream(seed, 1)
        self.made = 0
        self.rows = []
        self.actions = []
        self.kinds = {}

    def odds(self, percent):
        return self.chance.below(100) < percent

    def one_of(self, things):
        return things[self.chance.below(len(things))]

    def kind(self, name):
        self.kinds[name] = self.kinds.get(name, 0) + 1

    def action(self, tag):
        name = tag
        if self.odds(15):
            name = "raise_" + tag
        elif self.odds(4):
            name = "fail_" + tag
        self.actions.append(name)
        return name

    def state(self, depth, inside):
        self.made += 1
        name = f"s{self.made}"
        at = len(inside)
        inside.append(name)
        enter, leave = self.action("in_" + name), self.action("out_" + name)
        roll = self.chance.below(100)
        if not depth or roll < 35:
            return State(name, enter, leave)
        children = [self.state(depth - 1, inside) for _ in range(2 + self.chance.below(2))]
        names = [child.name for child in children]
        parallel = roll > 70
        if self.odds(45):
            deep = self.odds(50)
            children.append(History("h" + name, deep, tuple(names) if parallel else self.one_of(names)))
            self.kind("deep histories" if deep else "shallow histories")
            inside.append("h" + name)
        if parallel:
            self.kind("parallel states")
            return Parallel(name, enter, leave, tuple(children))
        if self.odds(40):
            children.append(Final("z" + name))
            self.kind("final states")
            inside.append("z" + name)
            self.rows.append((name, "done.state." + name, self.one_of(inside[at:]), None))
        return State(name, enter, leave, self.one_of(names), tuple(children))

    def regions(self, owner):
        """One to three charts of `owner`."""
        made = []
        for number in range(1 + self.chance.below(3)):
            self.rows, inside = [], []
            states = tuple([self.state(2, inside) for _ in range(2)])
            sources = [name for name in inside if name[0] == "s"]
            for _ in range(3 + self.chance.below(2 * len(sources))):
                self.rows.append(self.row(self.one_of(sources), inside))
            made.append(Region(f"c{number}", owner, tuple(self.rows), states))
        for name in self.actions:
            setattr(type(owner), name, acting(name))
        return made

    def row(self, source, inside):
        target = None if self.odds(10) else self.one_of(inside)
        does = self.action(f"do_{source}_{len(self.rows)}")
        guard = self.one_of((None, None, None, "even", "not even"))
        if target and self.odds(25):
            target = external(target)
        if self.odds(35):
            self.kind("timed transitions")
            wait = self.one_of((20, 50, 90, "wait"))
            return source, after(wait, self.chance.below(GROUPS)), target, does, guard
        if self.odds(10):
            self.kind("eventless transitions")
            self.actions.append(f"burn_{source}_{len(self.rows)}")
            return source, None, target, self.actions[-1], "fuelled"
        return source, self.one_of(HEARD), target, does, guard

    def script(self):
        """Steps: what, and a number."""
        return [(self.chance.below(100), self.chance.below(1000)) for _ in range(STEPS)]


def acting(name):
    return lambda owner, event: owner.act(name, event)


class Machine:
    """The machine of one seed under a clock that begins at `now`."""

    def __init__(self, seed, now):
        class Owner:
            def __init__(self, machine):
                self.machine = machine
                self.count = 0
                self.fuel = FUEL
                self.wait = 30

            def act(self, name, event):
                machine = self.machine
                machine.note((name, event, machine.engine.value))
                self.count += 1
                if name[:3] not in ("rai", "fai", "bur") or self.fuel <= 0:
                    return
                self.fuel -= 1
                if name[:3] == "rai":
                    machine.engine.raise_(self.count % len(NAMES), self.count)
                elif name[:3] == "fai":
                    raise ValueError(name)

            def even(self, event):
                return self.count % 2 == 0

            def fuelled(self, event):
                return self.fuel > 0

        self.did = []
        self.sum = self.count = 0  # of what `did` held before
        self.now = 0  # of the trace
        self.owner = Owner(self)
        self.maker = Maker(seed)
        events = Events()
        for name in NAMES:
            events.add(name)
        self.timers = Timers()
        self.timers.now = now
        table = pack(self.maker.regions(self.owner), events)
        self.engine = Engine(table, self.timers, self, 64)
        self.script = self.maker.script()

    def add(self, kind, ident, value):
        """As the engine's trace."""
        self.note((kind, ident, value))

    def note(self, record):
        """One more record; long ones of the past are kept as a sum."""
        if len(self.did) == FEW:
            for each in self.did:
                self.sum = (self.sum * 31 + hash(each)) & 0x3FFFFFFF
            self.count += FEW
            self.did.clear()
        self.did.append(record)

    def forget(self):
        """How many records there were since the last time."""
        count = self.count + len(self.did)
        self.did.clear()
        self.sum = self.count = 0
        return count

    def settle(self, go):
        """Until all has settled; failures that nobody hears are noted."""
        while True:
            try:
                if not go():
                    return
            except ValueError as failure:
                self.note((str(failure),))
            except ChartError as failure:
                self.note((failure.text,))
            go = self.engine.settle

    def step(self, what, number):
        """One step of the script; what waits in the queues may be left there."""
        engine = self.engine
        self.owner.fuel = FUEL
        if what < 60:
            self.settle(lambda: engine.send(number % len(NAMES), number))
        elif what < 72:
            engine.post(number % len(NAMES), -number)
        elif what < 78:
            engine.raise_(number % len(NAMES), number)
        elif what < 84:
            self.timers.freeze(number % GROUPS)
        elif what < 88:
            self.timers.thaw(number % GROUPS)
        else:
            self.later(number % 120)
        self.note((tuple(engine.leaf), self.timers.due()))

    def later(self, ms):
        while 0 <= self.timers.due() <= ms:
            wait = self.timers.due()
            ms -= wait
            self.timers.now = ticks.add(self.timers.now, wait)
            event = self.timers.event[self.timers.pop()]
            self.settle(lambda event=event: self.engine.send(event))
        self.timers.now = ticks.add(self.timers.now, ms)


def difference(seed, tally, resume=True):
    """Go on after a snapshot in the same engine and in a fresh one; "" when both do the same."""
    first = Machine(seed, 1000)
    first.settle(first.engine.start)
    at = first.maker.chance.below(STEPS)
    for step in first.script[:at]:
        first.step(step[0], step[1])
        first.forget()
    saved = snapshot.take(first.engine)
    first.forget()
    timers = first.timers
    for name, found in (
        ("taken with events waiting", first.engine.external.count),
        ("taken with internal events waiting", first.engine.internal.count),
        ("taken with timers running", timers.due() >= 0),
        ("taken with a frozen timer", [t for t in range(len(timers)) if timers.state[t] == 2]),
        ("taken with something remembered", first.engine.parallel and any(first.engine.parallel.memory)),
    ):
        tally[name] = tally.get(name, 0) + (1 if found else 0)
    # A clock that wraps soon, now and then; the fresh machine was started or not.
    second = Machine(seed, ticks.MASK - 300 if seed % 3 == 0 else seed)
    if seed % 2:
        second.settle(second.engine.start)
    if resume:
        snapshot.restore(second.engine, saved)
    second.owner.count, second.owner.fuel = first.owner.count, first.owner.fuel
    second.forget()
    records = 0
    for step in first.script[at:]:
        first.step(step[0], step[1])
        second.step(step[0], step[1])
        if (first.sum, first.did) != (second.sum, second.did):
            return f"seed {seed}, snapshot at step {at}: {first.did[-5:]}, afterwards {second.did[-5:]}"
        records += first.forget()
        second.forget()
    if snapshot.take(first.engine) != snapshot.take(second.engine):
        return f"seed {seed}, snapshot at step {at}: the snapshots at the end differ"
    tally["steps compared"] = tally.get("steps compared", 0) + STEPS - at
    tally["records compared"] = tally.get("records compared", 0) + records
    for name in first.maker.kinds:
        tally[name] = tally.get(name, 0) + first.maker.kinds[name]
    return ""


def main(count, seed):
    tally = {}
    for number in range(seed, seed + count):
        found = difference(number, tally)
        if found:
            print(found)
            return 1
    for name in sorted(tally):
        print(f"  {name}: {tally[name]}")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
