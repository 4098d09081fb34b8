"""What goes wrong while the charts run, and what is lost by it: nothing that waits."""

from chart_bench import Bench, owner, single

from firmware.base.errors import ChartError
from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import ANY, Region, State, after
from firmware.charts.pack import pack


class Failing:
    """Fails when told to."""

    def __init__(self):
        self.log = []

    def fail(self, event):
        raise ValueError("told to")

    def worse(self, event):
        raise TypeError("also told to")

    def note(self, event):
        self.log.append("note")

    def heal(self, event):
        self.log.append("heal")


ROWS = (
    ("a", "e", "b", ("fail", "note")),
    ("b", "next", "c", "note"),
    ("c", "guarded", "d", None, "fail"),
    ("c", "twice", "a", ("worse", "fail")),
)

FAILING_B = State("b", enter="fail", exit="fail")


def raised(call):
    try:
        call()
    except Exception as error:
        return error
    return None


def test_a_failing_action_costs_itself_only_and_is_raised_when_all_is_settled():
    thing = Failing()
    bench = single(ROWS, (), (), thing)
    error = raised(lambda: bench.post("e", "next"))
    assert isinstance(error, ValueError)
    assert bench.at("x/b")
    assert thing.log == ["note"]
    assert bench.engine.settle() == 1
    assert bench.at("x/c")
    assert bench.engine.failures == 1


def test_send_tells_of_a_failure_too():
    thing = Failing()
    bench = single(ROWS, (), (), thing)
    assert isinstance(raised(lambda: bench.engine.send(bench.events.find("e"))), ValueError)
    assert bench.at("x/b")
    assert bench.engine.send(bench.events.find("next")) == 1


def test_the_first_of_several_failures_is_the_one_raised():
    bench = single(ROWS, (), (), Failing(), "c")
    assert isinstance(raised(lambda: bench.post("twice")), TypeError)
    assert bench.engine.failures == 2
    assert bench.at("x/a")


def test_of_several_actions_each_runs_whichever_fail():
    thing = Failing()
    bench = single((("a", "e", "b", ("note", "fail", "heal", "worse")),), (), (), thing)
    assert isinstance(raised(lambda: bench.post("e")), ValueError)
    assert thing.log == ["note", "heal"]
    assert bench.engine.failures == 2
    assert bench.at("x/b")


def test_a_timer_starts_and_stops_though_the_action_beside_it_fails():
    bench = single((("a", "e", "b"), ("b", "f", "a"), ("b", after(5), "c")), (FAILING_B,), (), Failing(), "a")
    assert isinstance(raised(lambda: bench.post("e")), ValueError)
    assert bench.timers.due() == 5
    assert isinstance(raised(lambda: bench.post("f")), ValueError)
    assert bench.at("x/a")
    assert bench.timers.due() == -1
    assert bench.engine.failures == 2


def test_a_failing_guard_does_not_hold():
    bench = single(ROWS, (), (), Failing(), "c")
    assert isinstance(raised(lambda: bench.post("guarded")), ValueError)
    assert bench.at("x/c")


def test_failures_become_an_event_where_somebody_hears_it():
    thing = Failing()
    bench = single(ROWS + ((ANY, "error.execution", None, "heal"),), (), (), thing)
    assert bench.post("e", "next") == 3
    assert thing.log == ["note", "heal", "note"]
    assert bench.at("x/c")


def test_failures_on_the_way_out_and_in_do_not_stop_the_way():
    states = (State("a", exit="fail"), State("b", enter=("fail", "note")))
    thing = Failing()
    bench = single((("a", "e", "b", "worse"),), states, (), thing)
    assert isinstance(raised(lambda: bench.post("e")), ValueError)
    assert bench.at("x/b")
    assert thing.log == ["note"]
    assert bench.engine.failures == 3


def test_a_failing_start_is_told_and_the_machine_stands():
    events = Events()
    rows = (("a", "e", "b"),)
    region = Region("x", Failing(), rows, (State("a", enter="fail"),))
    engine = Engine(pack([region], events), Timers())
    assert isinstance(raised(engine.start), ValueError)
    assert engine.is_active(engine.state_id("x/a"))
    assert engine.send(events.find("e")) == 1
    assert engine.is_active(engine.state_id("x/b"))


def test_a_failing_hook_is_told_and_the_event_is_taken():
    bench = single((("a", "e", "b"),))

    def hook(event):
        raise ValueError("told to")

    bench.engine.before_event = hook
    assert isinstance(raised(lambda: bench.post("e")), ValueError)
    assert bench.at("x/b")


def test_an_interruption_leaves_an_engine_that_can_go_on():
    class Owner:
        calls = 0

        def act(self, event):
            self.calls += 1
            if self.calls == 1:
                raise KeyboardInterrupt

    bench = single((("a", "e", None, "act"),), (), (), Owner())
    try:
        bench.post("e", "e")
    except KeyboardInterrupt:
        pass
    assert bench.engine.settle() == 1
    assert bench.engine.send(bench.events.find("e")) == 1


def test_a_machine_that_does_not_rest_is_stopped_and_said():
    bench = single((("a", "e", "b"), ("b", None, "c"), ("c", None, "b"), (ANY, "home", "a")))
    error = raised(lambda: bench.post("e"))
    assert isinstance(error, ChartError)
    assert "do not rest" in error.text
    assert bench.post("home") == 1
    assert bench.at("x/a")


def test_events_that_raise_events_for_ever_are_stopped_too():
    class Owner:
        def again(self, event):
            bench.engine.raise_(bench.events.find("e"))

    bench = single(((ANY, "e", None, "again"), ("a", "f", "b")), (), (), Owner())
    assert isinstance(raised(lambda: bench.post("e", "f")), ChartError)
    assert bench.engine.dropped == 1
    bench.engine.settle()
    assert bench.at("x/b")


def test_posting_in_every_event_does_not_keep_settle_for_ever():
    class Owner:
        def again(self, event):
            bench.engine.post(event)

    bench = single(((ANY, "e", None, "again"),), (), (), Owner())
    assert bench.post("e") == 1024
    assert bench.engine.settle() == 1024


def test_what_finds_the_queue_full_is_counted():
    bench = single(((ANY, "e", None),))
    for _ in range(40):
        bench.engine.post(bench.events.find("e"))
    assert bench.engine.dropped == 8
    assert bench.engine.settle() == 32


def test_an_engine_is_made_with_room_for_as_many_events_as_its_charts_need():
    events = Events()
    table = pack([Region("x", None, ((ANY, "e", None),))], events)
    for room in (3, 100):
        engine = Engine(table, Timers(), None, room)
        engine.start()
        for turn in range(2):
            for _ in range(room + 1):
                engine.post(events.find("e"))
            assert engine.dropped == turn + 1
            assert engine.settle() == room


def test_nothing_is_allocated_for_an_event():
    try:
        from micropython import heap_lock, heap_unlock
    except ImportError:
        heap_lock = heap_unlock = int

    class Owner:
        count = 0

        def act(self, event):
            self.count += 1

        def open(self, event):
            return True

    thing = Owner()
    big = (State("p", "act", "act", states=(State("q", "act"),)), State("r"))
    rows = (("q", "e", "r", "act", "open"), ("r", "e", "p", ("act", "act")), (ANY, "f", None, "act"))
    bench = Bench([Region("a", thing, rows, big), Region("b", thing, rows, big)])
    e, f = bench.events.find("e"), bench.events.find("f")
    heap_lock()
    for _ in range(50):
        bench.engine.post(e, 5)
        bench.engine.post(f)
        bench.engine.settle()
        bench.engine.send(e)
    heap_unlock()
    assert thing.count > 500


def test_owner_logs_are_apart():
    one, two = owner("act"), owner("act")
    rows = ((ANY, "e", None, "act"),)
    bench = Bench([Region("a", one, rows), Region("b", two, rows)])
    bench.post("e")
    assert one.log == two.log == ["act"]
