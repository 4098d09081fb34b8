"""Runs the programs of `scxml_program.py` in the engine, under either Python, on a clock of its own.

    micropython tests/reference/charts/scxml_player.py PROGRAMS.json

prints one line a program: its name, and the names of the states it came to rest in.
"""

import json
import sys

from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Final, History, Parallel, Region, State, external
from firmware.charts.pack import pack

SENDS = 16


def many(names):
    return tuple(names) if names else None


def node(given):
    kind, name, enter, leave, initial, does, children = given
    inside = tuple([node(child) for child in children])
    if kind == "final":
        return Final(name, many(enter), many(leave))
    if kind == "parallel":
        return Parallel(name, many(enter), many(leave), inside)
    if kind == "state":
        return State(name, many(enter), many(leave), many(initial), inside, many(does))
    return History(name, kind == "deep", many(initial), many(does))


def row(given):
    state, event, targets, outer, does, guard = given
    to = many(targets)
    return state, event, external(*to) if outer and to else to, many(does), guard


def milliseconds(text):
    number = text[:-2] if text.endswith("ms") else text[:-1]
    return int(float(number) * (1 if text.endswith("ms") else 1000))


class Math:
    """As much of ECMAScript's as the charts use."""

    @staticmethod
    def pow(base, power):
        return base**power


class Owner:
    """The data, and the actions and guards by name."""

    def __init__(self, program, machine):
        self.program = program
        self.machine = machine
        self.data = {"In": machine.is_in, "Math": Math, "_event_name": ""}
        for name, value in program["data"]:
            self.data[name] = self.value(value)
        for name in program["actions"]:
            setattr(self, name, self.action(program["actions"][name]))
        for name in program["conditions"]:
            setattr(self, name, self.condition(program["conditions"][name]))

    def action(self, steps):
        def act(event):
            self.note(event)
            self.run(steps)

        return act

    def condition(self, text):
        def holds(event):
            self.note(event)
            return bool(self.value(text))

        return holds

    def note(self, event):
        self.data["_event_name"] = self.machine.event_name(event)

    def value(self, text):
        return eval(text, {}, self.data)

    def run(self, steps):
        for step in steps:
            getattr(self, "do_" + step[0])(*step[1:])

    def do_log(self):
        pass

    def do_raise(self, event):
        self.machine.engine.raise_(self.machine.events.find(event))

    def do_send(self, event, delay, ident):
        self.machine.send(self.value(event), milliseconds(self.value(delay)), ident)

    def do_cancel(self, ident):
        self.machine.cancel(self.value(ident))

    def do_assign(self, location, text):
        if location not in self.data:
            raise ValueError("nothing is called " + location)
        self.data[location] = self.value(text)

    def do_if(self, branches):
        for condition, steps in branches:
            if self.value(condition):
                self.run(steps)
                return


class Machine:
    """One program in an engine."""

    def __init__(self, program, names):
        self.events = Events()
        for name in names:
            self.events.add(name)
        self.timers = Timers()
        self.sends = [self.timers.add(0) for _ in range(SENDS)]
        self.idents = [""] * SENDS
        self.home = program["name"]
        self.states = []
        states = tuple([node(given) for given in program["states"]])
        rows = tuple([row(given) for given in program["rows"]])
        self.engine = None
        owner = Owner(program, self)
        table = pack((Region(self.home, owner, rows, states, many(program["initial"])),), self.events)
        self.engine = Engine(table, self.timers)
        self.states = [
            (name, self.engine.state_id(name))
            for name in [table.path(state) for state in range(1, table.states)]
        ]

    def is_in(self, name):
        for path, number in self.states:
            if path == self.home + "/" + name:
                return self.engine.is_active(number)
        return False

    def event_name(self, event):
        return self.events.name(event) if event < len(self.events) else ""

    def send(self, name, delay_ms, ident):
        event = self.events.find(name)
        if not delay_ms:
            self.engine.post(event)
            return
        for i in range(SENDS):
            if not self.timers.running(self.sends[i]):
                self.idents[i] = ident
                self.timers.event[self.sends[i]] = event
                self.timers.start(self.sends[i], delay_ms)
                return
        raise ValueError("too many delayed events at once")

    def cancel(self, ident):
        for i in range(SENDS):
            if self.idents[i] == ident:
                self.timers.stop(self.sends[i])

    def settle(self, first=False):
        more = True
        while more:
            try:
                if first:
                    first = False
                    self.engine.start()
                more = self.engine.settle() > 0
            except (ValueError, NameError, TypeError, AttributeError, KeyError):
                pass  # an error nobody hears, raised once all is settled; see Engine.settle

    def start(self):
        self.settle(True)

    def post(self, name):
        self.engine.post(self.events.find(name))
        self.settle()

    def advance(self, ms):
        """Let `ms` pass, timer by timer."""
        while 0 <= self.timers.due() <= ms:
            step = self.timers.due()
            ms -= step
            self.timers.now += step
            self.engine.post(self.timers.event[self.timers.pop()])
            self.settle()
        self.timers.now += ms

    def leaves(self):
        """The names of the active atomic states."""
        found = []
        table = self.engine.table
        for path, number in self.states:
            if self.engine.is_active(number) and table.end[number] == number + 1:
                found.append(path.partition("/")[2])
        return sorted(found)


def play(program, names):
    """Run a program that needs no events from outside; where it came to rest."""
    machine = Machine(program, names)
    machine.start()
    machine.advance(10_000)
    return machine.leaves()


def main(path):
    with open(path) as source:
        programs = json.load(source)
    for name, program, names in programs:
        print(name, " ".join(play(program, names)))


if __name__ == "__main__":
    main(sys.argv[1])
