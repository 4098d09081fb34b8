"""What is active while actions run, on the way from one plain state to another."""

from chart_bench import Bench, single

from firmware.charts.model import ANY, Region, State, after

PLACES = ("x", "x/a", "x/b", "y", "y/a", "y/b")


class Watching:
    """Notes with each action which places are active; `fail` fails besides."""

    def __init__(self, charts):
        self.charts = charts
        self.bench = None
        self.seen = []

    def _note(self, name):
        places = [place for place in PLACES if place[0] in self.charts and self.bench.at(place)]
        self.seen.append(" ".join([name] + places))

    def leave(self, event):
        self._note("leave")

    def act(self, event):
        self._note("act")

    def enter(self, event):
        self._note("enter")

    def fail(self, event):
        self._note("fail")
        raise ValueError("told to")


def watched(charts, rows, states=()):
    thing = Watching(charts)
    thing.bench = Bench([Region(chart, thing, rows, states) for chart in charts])
    return thing, thing.bench


ROWS = (("a", "e", "b", "act"), (ANY, "back", "a", "act"), (ANY, "bump", None, "act"))


def test_what_was_left_is_left_and_nothing_entered_yet():
    thing, bench = watched("x", ROWS)
    bench.post("e", "bump", "back", "bump")
    assert thing.seen == ["act x", "act x x/b", "act x", "act x x/a"]


def test_of_charts_that_answer_together_all_are_between_their_states():
    thing, bench = watched("xy", ROWS)
    bench.post("e", "bump")
    assert thing.seen == ["act x y", "act x y", "act x x/b y y/b", "act x x/b y y/b"]


def test_of_charts_that_answer_together_the_last_leaves_first():
    thing, bench = watched("xy", ROWS, (State("a", exit="leave"), State("b", enter="enter")))
    bench.post("e")
    assert thing.seen == [
        "leave x x/a y y/a",
        "leave x x/a y",
        "act x y",
        "act x y",
        "enter x x/b y",
        "enter x x/b y y/b",
    ]


def test_a_state_whose_exit_failed_is_left_all_the_same():
    thing, bench = watched("x", ROWS, (State("a", exit="fail"),))
    try:
        bench.post("e")
    except ValueError:
        thing.seen.append("raised")
    assert thing.seen == ["fail x x/a", "act x", "raised"]
    assert bench.at("x/b")


def test_a_timer_beside_an_action_on_one_side_only():
    rows = (("a", "e", "b"), ("b", "e", "c"), ("c", "e", "a"), ("b", after(5), "d"), ("c", after(5), "d"))
    thing = Watching("")
    bench = single(rows, (State("a"), State("b", exit="leave"), State("c", enter="enter")), (), thing)
    bench.post("e")
    assert (thing.seen, bench.timers.due()) == ([], 5)
    bench.timers.now += 1
    bench.post("e")
    assert (thing.seen, bench.timers.due()) == (["leave", "enter"], 5)
    bench.post("e")
    assert (thing.seen, bench.timers.due()) == (["leave", "enter"], -1)
