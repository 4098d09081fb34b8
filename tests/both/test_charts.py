"""The engine on charts written as a rule author writes them."""

from firmware.base.timers import Timers
from firmware.base.trace import MOVE, Trace
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import ANY, Region, after
from firmware.charts.pack import pack


class Run:
    """A feature of the kind a game has, writing down what it is told to do."""

    chart = (
        ("dark", "inlane.left", "lit", "open"),
        ("lit", "orbit.right", "dark", "collect"),
        ("lit", "orbit.left", "lit", ("note", "restart"), "not full"),
        (ANY, "meadow", None, "build"),
        ("lit", after(14_000), "dark", "expire"),
        ("lit", None, "dark", None, "done"),
    )

    def __init__(self) -> None:
        self.log: list[str] = []
        self.built = 0
        self.is_full = False
        self.is_done = False

    def open(self, event: int) -> None:
        self.log.append("open")

    def collect(self, event: int) -> None:
        self.log.append("collect")

    def note(self, event: int) -> None:
        self.log.append("note")

    def restart(self, event: int) -> None:
        self.log.append("restart")

    def build(self, event: int) -> None:
        self.built += 1

    def expire(self, event: int) -> None:
        self.log.append("expire")

    def full(self, event: int) -> bool:
        return self.is_full

    def done(self, event: int) -> bool:
        return self.is_done


class Bench:
    """A machine of charts, its events by name."""

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
        return self.engine.inside(self.engine.state_id(path))


NAMES = ("inlane.left", "orbit.right", "orbit.left", "meadow.1", "meadow.2", "meadowlark")


def run_bench(trace=None):
    run = Run()
    return run, Bench((Region("pollen_run", run, Run.chart),), NAMES, trace)


def test_first_state_named_is_the_initial_one():
    _, bench = run_bench()
    assert bench.at("pollen_run/dark")
    assert not bench.at("pollen_run/lit")
    assert bench.at("pollen_run")


def test_row_moves_and_does():
    run, bench = run_bench()
    assert bench.post("inlane.left", "orbit.right") == 2
    assert run.log == ["open", "collect"]
    assert bench.at("pollen_run/dark")


def test_descriptor_hears_whole_tokens_only():
    run, bench = run_bench()
    bench.post("meadow.1", "meadow.2", "meadowlark")
    assert run.built == 2


def test_timed_transition_is_taken_when_due_and_not_before():
    run, bench = run_bench()
    bench.post("inlane.left")
    bench.later(13_999)
    assert bench.at("pollen_run/lit")
    bench.later(1)
    assert bench.at("pollen_run/dark")
    assert run.log == ["open", "expire"]


def test_timer_is_cancelled_on_leaving_and_begins_anew_on_entering():
    run, bench = run_bench()
    bench.post("inlane.left")
    bench.later(10_000)
    bench.post("orbit.left")
    bench.later(10_000)
    assert bench.at("pollen_run/lit")
    bench.post("orbit.right")
    assert bench.timers.due() == -1
    assert run.log == ["open", "note", "restart", "collect"]


def test_guard_and_its_negation():
    run, bench = run_bench()
    run.is_full = True
    bench.post("inlane.left", "orbit.left")
    assert run.log == ["open"]


def test_eventless_transition_is_taken_when_its_guard_holds():
    run, bench = run_bench()
    run.is_done = True
    bench.post("inlane.left")
    assert bench.at("pollen_run/dark")


def test_trace_has_a_record_for_each_transition():
    trace = Trace(16)
    _, bench = run_bench(trace)
    bench.post("inlane.left", "meadow.1", "orbit.right")
    assert trace.count == 3
    out = bytearray(36)
    trace.take(out, 0, 3)
    dark = bench.engine.state_id("pollen_run/dark")
    lit = bench.engine.state_id("pollen_run/lit")
    rows = [(out[4 + i], out[6 + i], out[8 + i]) for i in (0, 12, 24)]
    assert rows == [(MOVE, 0, lit), (MOVE, 3, lit), (MOVE, 1, dark)]
