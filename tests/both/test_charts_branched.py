"""Regions inside regions, histories, final states, and transitions that reach across charts."""

from chart_bench import Bench, owner, refusal, single

from firmware.charts.model import ANY, Final, History, Parallel, Region, State, after, external


def leaves(bench, *names):
    return [name for name in names if bench.at("x/" + name)]


PAIR = (
    State("off"),
    Parallel(
        "on",
        "in_on",
        "out_on",
        (State("l", states=(State("l1"), State("l2"))), State("r", states=(State("r1"), State("r2")))),
    ),
)


def test_a_parallel_state_is_in_all_its_regions_and_left_as_one():
    thing = owner("in_on", "out_on")
    rows = (("off", "go", "on"), ("l1", "e", "l2"), ("r1", "e f", "r2"), ("on", "stop", "off"))
    bench = single(rows, PAIR, (), thing)
    bench.post("go")
    assert leaves(bench, "off", "on", "l1", "l2", "r1", "r2") == ["on", "l1", "r1"]
    bench.post("f")
    assert leaves(bench, "l1", "l2", "r1", "r2") == ["l1", "r2"]
    bench.post("e")
    assert leaves(bench, "l1", "l2", "r1", "r2") == ["l2", "r2"]
    bench.post("stop")
    assert leaves(bench, "off", "on", "l2", "r2") == ["off"]
    assert thing.log == ["in_on", "out_on"]


def test_targets_that_no_parallel_state_parts_are_refused():
    for wrong in (("l1", "l2"), ("l", "l1"), ("off", "l1"), ("l1", "l1")):
        assert "no machine can be in all of" in refusal(
            lambda wrong=wrong: single((("off", "go", wrong),), PAIR, (), owner("in_on", "out_on"))
        ), wrong


def test_several_targets_are_entered_together():
    bench = single((("off", "go", ("l2", "r2")),), PAIR, (), owner("in_on", "out_on"))
    bench.post("go")
    assert leaves(bench, "l1", "l2", "r1", "r2") == ["l2", "r2"]


def test_of_two_conflicting_answers_the_first_in_document_order_wins():
    rows = (("off", "go", "on"), ("l1", "e", "off"), ("r1", "e", "r2"))
    bench = single(rows, PAIR, (), owner("in_on", "out_on"))
    bench.post("go", "e")
    assert leaves(bench, "off", "l1", "r2") == ["off"]


def test_an_inner_answer_takes_precedence_over_an_outer_one():
    rows = (("off", "go", "on"), ("r1", "e", "r2"), ("on", "e", "off"))
    bench = single(rows, PAIR, (), owner("in_on", "out_on"))
    bench.post("go", "e")
    assert leaves(bench, "off", "l1", "r2") == ["l1", "r2"]


def test_an_answer_of_the_parallel_state_is_given_once():
    thing = owner("in_on", "out_on", "act")
    bench = single((("off", "go", "on"), ("on", "e", None, "act")), PAIR, (), thing)
    bench.post("go", "e")
    assert thing.log == ["in_on", "act"]


MEMORY = (
    State("away"),
    State(
        "room",
        states=(
            State("corner", states=(State("near"), State("far"))),
            State("middle"),
            History("there"),
            History("exactly", deep=True),
            History("at_first", default="middle", does="first"),
        ),
    ),
)
MOVES = (
    ("near", "walk", "far"),
    ("corner", "cross", "middle"),
    ("room", "leave", "away"),
    ("away", "enter", "room"),
    ("away", "back", "there"),
    ("away", "exactly", "exactly"),
    ("away", "first", "at_first"),
)


def test_shallow_history_remembers_the_child_deep_the_whole_place():
    bench = single(MOVES, MEMORY, (), owner("first"), "room")
    bench.post("walk", "leave", "back")
    assert leaves(bench, "near", "far", "middle") == ["near"]
    bench.post("walk", "leave", "exactly")
    assert leaves(bench, "near", "far", "middle") == ["far"]


def test_a_way_to_a_history_beside_the_source_does_not_leave_what_holds_both():
    states = (
        State(
            "room",
            "in_room",
            "out_room",
            states=(
                State("corner", states=(State("near"), State("far"), History("there"))),
                State("middle"),
            ),
        ),
    )
    rows = (("near", "walk", "far"), ("corner", "cross", "middle"), ("middle", "back", "there"))
    thing = owner("in_room", "out_room")
    bench = single(rows, states, (), thing)
    bench.post("walk", "cross", "back")
    assert leaves(bench, "near", "far", "middle") == ["far"]
    assert thing.log == ["in_room"]


def test_a_state_that_begins_with_its_deep_history_enters_all_on_the_way():
    states = (
        State("away"),
        State(
            "room",
            initial="exactly",
            states=(
                State("corner", "in_corner", states=(State("near"), State("far"))),
                State("middle"),
                History("exactly", deep=True, default="middle"),
            ),
        ),
    )
    rows = (("away", "enter", "room"), ("middle", "walk", "far"), ("room", "leave", "away"))
    thing = owner("in_corner")
    bench = single(rows, states, (), thing)
    bench.post("enter")
    assert leaves(bench, "near", "far", "middle") == ["middle"]
    bench.post("walk", "leave", "enter")
    assert leaves(bench, "near", "far", "middle") == ["far"]
    assert thing.log == ["in_corner", "in_corner"]


def test_history_without_memory_takes_its_default_and_does_what_goes_with_it():
    thing = owner("first")
    bench = single(MOVES, MEMORY, (), thing)
    bench.post("first")
    assert leaves(bench, "near", "middle") == ["middle"]
    assert thing.log == ["first"]
    bench.post("leave", "first")
    assert thing.log == ["first"]
    assert bench.at("x/middle")


def test_deep_history_brings_back_every_region():
    states = (
        State("off"),
        Parallel(
            "on",
            states=(
                State("l", states=(State("l1"), State("l2"))),
                State("r", states=(State("r1"), State("r2"))),
                History("was", deep=True),
            ),
        ),
    )
    rows = (
        ("off", "go", "on"),
        ("off", "back", "was"),
        ("l1", "e", "l2"),
        ("r1", "f", "r2"),
        ("on", "stop", "off"),
    )
    bench = single(rows, states)
    bench.post("go", "f", "stop", "go")
    assert leaves(bench, "l1", "l2", "r1", "r2") == ["l1", "r1"]
    bench.post("e", "f", "stop", "back")
    assert leaves(bench, "l1", "l2", "r1", "r2") == ["l2", "r2"]


def test_a_final_state_ends_its_holder():
    states = (State("quest", states=(State("open"), Final("won"))), State("party"))
    rows = (("open", "shot", "won"), ("quest", "done.state.quest", "party"))
    bench = single(rows, states)
    bench.post("shot")
    assert bench.at("x/party")


def test_a_final_state_has_its_actions_and_timers_too():
    thing = owner("arrive", "part", "next", "late")
    won = Final("won", enter="arrive", exit="part")
    rows = (
        ("open", "shot", "won"),
        ("quest", "done.state.quest", None, "next"),
        ("won", after(9), None, "late"),
        ("quest", "again", external("quest")),
    )
    bench = single(rows, (State("quest", states=(State("open"), won)),), (), thing)
    bench.post("shot")
    bench.later(9)
    bench.post("again", "shot")
    assert thing.log == ["arrive", "next", "late", "part", "arrive", "next"]
    bench.post("again")
    bench.later(9)
    assert thing.log[6:] == ["part"]


def test_a_parallel_state_is_done_when_all_its_regions_are():
    both = (
        State("l", states=(State("l1"), Final("l2"))),
        State("r", states=(State("r1"), Final("r2"))),
    )
    rows = (("l1", "e", "l2"), ("r1", "f", "r2"), ("on", "done.state.on", "end"))
    bench = single(rows, (Parallel("on", states=both), State("end")))
    bench.post("e")
    assert bench.at("x/on")
    bench.post("f")
    assert bench.at("x/end")


def test_done_events_of_states_with_one_name_are_told_apart():
    def chart():
        states = (State("quest", states=(State("open"), Final("won"))), State("party"))
        return states

    rows = (("open", "shot", "won"), ("quest", "done.state.quest", "party"))
    other = (("open", "other", "won"), ("quest", "done.state.quest", "party"))
    bench = Bench([Region("one", None, rows, chart()), Region("two", None, other, chart())])
    bench.post("shot")
    assert bench.at("one/party")
    assert bench.at("two/open")


def test_what_is_done_on_the_way_into_an_initial_state_stands_between_the_two_entries():
    thing = owner("outer", "between", "inner")
    states = (State("a"), State("b", "outer", initial="c", does="between", states=(State("c", "inner"),)))
    bench = single((("a", "e", "b"),), states, (), thing)
    bench.post("e")
    assert thing.log == ["outer", "between", "inner"]


def test_a_transition_into_another_chart_puts_every_chart_back():
    thing = owner("out", "into")
    states = (State("p", "into", "out"), State("q"))
    bench = Bench(
        [
            Region("one", None, (("a", "e", "two/q"), ("a", "f", "b"))),
            Region("two", thing, (("p", "g", "q"),), states),
            Region("three", None, (("m", "f", "n"),)),
        ]
    )
    bench.post("f")
    assert bench.at("three/n")
    bench.post("e")
    assert bench.at("one/b")
    bench.engine.restart_region(0)
    bench.post("e")
    assert bench.at("two/q")
    assert bench.at("one/a")
    assert bench.at("three/m")
    assert thing.log == ["into", "out"]


def test_states_are_left_inside_out_and_in_asks_see_each_step():
    class Owner:
        log = ()

        def out(self, event):
            self.log += ((bench.at("x/in"), bench.at("x/big")),)

        def act(self, event):
            self.log += ((bench.at("x/in"), bench.at("x/big")),)

    thing = Owner()
    states = (State("big", exit="out", states=(State("in", exit="out"),)), State("end"))
    bench = single(((ANY, "e", "end", "act"),), states, (), thing)
    bench.post("e")
    assert thing.log == ((True, True), (False, True), (False, False))


def test_an_external_transition_from_the_root_is_one_of_the_whole_machine():
    bench = Bench(
        [
            Region("one", None, ((ANY, "e", external("b")), ("a", "f", "b"))),
            Region("two", None, (("m", "f", "n"),)),
        ]
    )
    bench.post("f", "e")
    assert bench.at("one/b")
    assert bench.at("two/m")
