"""The engine on charts written as a rule author writes them."""

from chart_bench import Bench, owner, refusal, single

from firmware.base.trace import MOVE, Trace
from firmware.charts.events import Events, hears
from firmware.charts.model import ANY, Region, State, after, external
from firmware.charts.region_state import restart


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


def test_descriptors_match_by_tokens():
    for descriptor in ("meadow", "meadow.*", "meadow.", "*", "meadow.1"):
        assert hears(descriptor, "meadow.1")
    for descriptor in ("meadow.2", "mead", "meadow.1.x", "meadowlark"):
        assert not hears(descriptor, "meadow.1")


def test_one_row_may_hear_several_events():
    thing = owner("act")
    bench = single((("a", "one two.*", None, "act"),), (), ("one", "two.x", "three"), thing)
    bench.post("one", "two.x", "three")
    assert thing.log == ["act", "act"]


def test_the_deepest_answer_comes_first_then_the_order_of_the_rows():
    thing = owner("outer", "inner", "second")
    states = (State("big", states=(State("small"),)),)
    rows = (("big", "e", None, "outer"), ("small", "e", None, "inner"), ("small", "e", None, "second"))
    bench = single(rows, states, (), thing)
    bench.post("e")
    assert thing.log == ["inner"]


def test_a_transition_into_its_own_child_is_internal_unless_external_is_asked_for():
    thing = owner("into", "out")
    states = (State("big", "into", "out", states=(State("a"), State("b"))),)
    rows = (("big", "in", "b"), ("big", "ex", external("b")))
    bench = single(rows, states, (), thing)
    bench.post("in")
    assert thing.log == ["into"]
    bench.post("ex")
    assert thing.log == ["into", "out", "into"]
    assert bench.at("x/b")


def test_targetless_transition_leaves_nothing():
    thing = owner("into", "out", "act")
    bench = single((("a", "e", None, "act"),), (State("a", "into", "out"),), (), thing)
    bench.post("e")
    assert thing.log == ["into", "act"]


def test_guards_are_all_asked_before_any_action_runs():
    class Shared:
        full = False

        def fill(self, event):
            self.full = True

        def is_full(self, event):
            return self.full

    shared = Shared()
    rows = (("a", "e", "b", "fill", "not is_full"),)
    bench = Bench([Region("one", shared, rows), Region("two", shared, rows)])
    bench.post("e")
    assert bench.at("one/b")
    assert bench.at("two/b")
    assert bench.engine.touched == bytearray([1, 1])


def test_a_guard_may_ask_for_a_state_of_another_region():
    rows = (("a", "go", "b"),)
    asking = (("a", "e", "b", None, "in one/b"), ("a", "f", "b", None, "not in one/b"))
    bench = Bench([Region("one", None, rows), Region("two", None, asking)])
    bench.post("e")
    assert bench.at("two/a")
    bench.post("go", "e")
    assert bench.at("two/b")


def test_raised_events_go_before_posted_ones():
    class Owner:
        log = ()

        def first(self, event):
            bench.engine.post(bench.events.find("later"))
            bench.engine.raise_(bench.events.find("soon"))

        def note(self, event):
            self.log += (bench.events.name(event),)

    thing = Owner()
    rows = ((ANY, "begin", None, "first"), (ANY, "soon later", None, "note"))
    bench = single(rows, (), (), thing)
    bench.post("begin", "later")
    assert thing.log == ("soon", "later", "later")


def test_the_argument_of_the_event_in_progress_can_be_read():
    class Owner:
        seen = ()

        def note(self, event):
            self.seen += (bench.engine.value,)

    thing = Owner()
    bench = single(((ANY, "e", None, "note"),), (), (), thing)
    bench.engine.post(bench.events.find("e"), 7)
    bench.engine.post(bench.events.find("e"), -3)
    assert bench.engine.settle() == 2
    assert bench.engine.send(bench.events.find("e"), 1 << 29) == 1
    assert thing.seen == (7, -3, 1 << 29)


def test_settle_from_within_an_action_leaves_the_work_to_the_one_outside():
    class Owner:
        depth = 0
        deepest = 0

        def act(self, event):
            self.depth += 1
            self.deepest = max(self.deepest, self.depth)
            bench.engine.send(bench.events.find("g"))
            bench.engine.settle()
            self.depth -= 1

    thing = Owner()
    bench = single((("a", "e", "b", "act"), ("b", "g", "c", "act")), (), (), thing)
    bench.post("e")
    assert bench.at("x/c")
    assert thing.deepest == 1


def test_hook_is_called_once_before_each_external_event():
    seen = []
    bench = single((("a", "e", "b"), ("b", "done.state.x", None), ("b", None, "c")), (), ("f",))
    bench.engine.before_event = lambda event: seen.append((bench.events.name(event), bench.at("x/a")))
    bench.engine.send(bench.events.find("e"))
    bench.post("f")
    assert seen == [("e", True), ("f", False)]


def test_touched_tells_whose_transition_was_taken():
    rows = (("a", "e", None), ("a", "go", "b"))
    bench = Bench([Region("one", None, rows), Region("two", None, (("a", "x", "b"),))])
    for chart in range(2):
        bench.engine.touched[chart] = 0
    bench.post("e")
    assert bench.engine.touched == bytearray([1, 0])
    bench.engine.touched[0] = 0
    bench.post("x")
    assert bench.engine.touched == bytearray([0, 1])


def test_heard_says_whether_somebody_listens():
    bench = single((("a", "meadow", None),), (), ("meadow.1", "other"))
    assert bench.engine.is_heard(bench.events.find("meadow.1"))
    assert not bench.engine.is_heard(bench.events.find("other"))
    assert bench.post("other") == 1


def test_a_delay_can_be_an_attribute_of_the_owner_read_at_entry():
    thing = owner()
    thing.wait_ms = 50
    bench = single((("a", "go", "b"), ("b", after("wait_ms"), "a")), (), (), thing)
    thing.wait_ms = 200
    bench.post("go")
    assert bench.timers.due() == 200
    bench.later(200)
    assert bench.at("x/a")


def test_the_initial_state_has_its_timer_too():
    bench = single((("a", after(30), "b"),))
    bench.later(30)
    assert bench.at("x/b")


def test_a_due_event_from_an_earlier_stay_is_stale():
    thing = owner("late")
    rows = (("a", after(10), "c", "late"), ("a", "leave", "b"), ("b", "back", "a"))
    bench = single(rows, (), (), thing)
    bench.timers.now += 10
    due = bench.timers.event[bench.timers.pop()]
    for event in (bench.events.find("leave"), bench.events.find("back"), due):
        bench.engine.post(event)
    bench.engine.settle()
    assert bench.at("x/a")
    bench.later(10)
    assert thing.log == ["late"]


def test_timers_of_a_group_are_frozen_together():
    bench = single((("a", after(100, group=4), "b"),))
    bench.later(60)
    bench.timers.freeze(4)
    bench.later(500)
    assert bench.at("x/a")
    bench.timers.thaw(4)
    bench.later(40)
    assert bench.at("x/b")


def test_rows_that_cannot_be_are_refused_with_the_near_miss():
    def told(rows, states=(), thing=None):
        return refusal(lambda: single(rows, states, (), thing))

    assert "no method 'colect'; did you mean 'collect'?" in told(
        (("a", "e", None, "colect"),), thing=owner("collect", "open")
    )
    assert "chart 'x', row 2" in told((("a", "e", None), ("a", "e", None, "gone")), thing=owner())
    assert "no machine can be in all of" in told((("a", "e", ("b", "c")),))
    assert "a guard is" in told((("a", "e", None, None, "really not in"),))
    assert "two states are called 'b'" in told((("a", "e", "b"),), (State("b"), State("b")))
    assert "its initial lies outside it" in told(
        (), (State("a", initial="b", states=(State("c"),)), State("b"))
    )
    assert "a row is" in told((("a", "e"),))
    assert "not 5" in told((("a", 5, "b"),))
    assert "'y/b' is no state" in told((("a", "e", "y/b"),))


def test_a_new_name_after_packing_is_refused():
    bench = single((("a", "e", "b"),))
    assert "is new" in refusal(lambda: bench.events.add("late"))
    assert bench.events.add("e") == bench.events.find("e")


def test_a_number_that_is_no_event_is_refused():
    bench = single((("a", "e", "b"),))
    for event in (-1, 5000):
        assert f"event {event}" in refusal(lambda event=event: bench.engine.post(event))
        assert f"event {event}" in refusal(lambda event=event: bench.engine.raise_(event))


def test_names_of_events_are_numbered_in_the_order_of_adding():
    events = Events()
    assert [events.add(name) for name in ("b", "a", "b")] == [0, 1, 0]
    assert events.names() == ["b", "a"]
    assert events.find("c") == -1
    for name in ("", "*", "a b", "*.x"):
        assert refusal(lambda name=name: events.add(name))


def test_paths_lead_to_states_and_a_wrong_one_to_the_near_miss():
    bench = single((("dark", "e", "lit"),))
    assert bench.engine.state_id("x") == 1
    assert bench.engine.state_id("x/lit") == 3
    assert "did you mean 'x/dark'?" in refusal(lambda: bench.engine.state_id("x/drak"))


def test_actions_found_on_the_owner_itself_are_called_with_the_event_alone():
    thing = owner()
    seen = []
    thing.act = seen.append
    bench = single((("a", "e", None, "act"),), (), (), thing)
    bench.post("e")
    assert seen == [bench.events.find("e")]


def test_a_chart_that_is_restarted_between_events_first_takes_what_needs_no_event():
    rows = (("a", None, "b", None), ("a", "x", "late", None), ("b", "x", "c", None))
    bench = single(rows, names=("x",))
    bench.post("x")
    assert bench.at("x/c")
    restart(bench.engine, 0)
    bench.engine.send(bench.events.find("x"))
    assert bench.at("x/c")


def test_the_only_timer_of_a_chart_without_actions_runs():
    bench = single((("a", "x", "b", None), ("b", after(100), "c", None)), names=("x",))
    bench.post("x")
    bench.later(99)
    assert bench.at("x/b")
    bench.later(1)
    assert bench.at("x/c")


def test_an_event_that_no_chart_knows_is_refused():
    bench = single((("a", "x", "b", None),), names=("x",))
    known = bench.engine.external.limit
    for event in (-1, known, known + 1):
        assert refusal(lambda event=event: bench.engine.post(event)) == f"event {event}: there are {known}"
    bench.engine.post(known - 1)
    assert bench.engine.external.count == 1
