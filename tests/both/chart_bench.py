"""A machine of charts for tests: events by name, a clock by hand, a log of what was done."""

from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Region
from firmware.charts.pack import pack


def owner(*actions, **answers):
    """An object that logs the named actions as they are done; `answers` are guards and their values."""

    class Owner:
        def __init__(self):
            self.log = []
            self.answers = answers

    def noting(name):
        return lambda self, event: self.log.append(name)

    def answering(name):
        return lambda self, event: self.answers[name]

    for name in actions:
        setattr(Owner, name, noting(name))
    for name in answers:
        setattr(Owner, name, answering(name))
    return Owner()


class Bench:
    """The engine over `regions`, started."""

    def __init__(self, regions, names=(), trace=None):
        self.events = Events()
        for name in names:
            self.events.add(name)
        self.timers = Timers()
        self.engine = Engine(pack(regions, self.events), self.timers, trace)
        self.engine.start()

    def post(self, *names):
        for name in names:
            self.engine.post(self.events.find(name))
        return self.engine.settle()

    def later(self, ms):
        self.timers.now += ms
        tid = self.timers.pop()
        while tid >= 0:
            self.engine.post(self.timers.event[tid])
            tid = self.timers.pop()
        self.engine.settle()

    def at(self, path):
        return self.engine.is_active(self.engine.state_id(path))


def single(rows, states=(), names=(), thing=None, initial=None):
    """One chart called "x"."""
    return Bench([Region("x", thing, rows, states, initial)], names)


def refusal(call):
    """What a ChartError that `call` raises says; "" when it raises none."""
    from firmware.base.errors import ChartError

    try:
        call()
    except ChartError as error:
        return str(error)
    return ""
