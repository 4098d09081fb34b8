"""The checker of charts: each kind of slip gives its own sentence at its own line, a good chart none."""

from pathlib import Path

import broken_charts as broken
import pytest

from firmware.charts.model import ANY, Region
from hil.checks import charts
from hil.checks.chart_events import unraised
from hil.checks.chart_finding import findings
from hil.checks.chart_source import places
from hil.checks.chart_source.reading import Chart, ParsedCharts

HERE = Path(__file__).parent


def chart(name, never_reset=True):
    states = next((s for s in (f"{name}_STATES", *SHARED.get(name, ())) if hasattr(broken, s)), "")
    region = Region("run", broken.Owner(), getattr(broken, name), getattr(broken, states) if states else ())
    return Chart(region, places.of_table(broken, name, states), never_reset)


SHARED = {"CONFLICT": ("BOTH",), "RESET": ("BOTH",), "SUM": ("BOTH",)}


def told(*own):
    return [str(f) for f in findings(charts.check(own), lambda place: f"{place.path.name}:{place.line}")]


def line(name):
    lines = (HERE / "broken_charts.py").read_text().splitlines()
    return next(number for number, text in enumerate(lines, 1) if text.endswith(f"# {name}"))


def line_of(text):
    lines = (HERE / "broken_charts.py").read_text().splitlines()
    return 1 + [one.strip() for one in lines].index(text)


def test_a_good_chart_gives_no_sentence():
    assert told(chart("GOOD")) == []
    assert told(chart("GOOD", never_reset=False)) == []


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("ELSEWHERE", "chart 'run' has no state 'run/darkk'; did you mean 'run/dark'?"),
        ("SLIP", "no row of 'run' is for the state 'litt', and none declares it; did you mean 'lit'?"),
        ("ASKED", "chart 'run' has no state 'litt'; did you mean 'lit'?"),
        ("UNREACHABLE", "note: state 'grey' of 'run' cannot be reached"),
        ("TRAP", "note: state 'broken' of 'run' has no way out"),
        ("NO_ACTION", "Owner has no method 'opne', which this row does; did you mean 'open'?"),
        ("NO_GUARD", "Owner has no method 'fulll', which this row asks; did you mean 'full'?"),
        ("NO_ENTRY", "Owner has no method 'closee', which 'lit' does on exit; did you mean 'close'?"),
        ("NO_TIME", "Owner has no 'wait', which this row waits for"),
        (
            "NO_ROW",
            "chart 'run', row 2: a row is (state, event, next, does, guard), not ('lit', 'stop')",
        ),
        ("MADE", "Owner has no method 'shut', which this row does"),
        ("SUM", "Owner has no method 'opn', which this row does; did you mean 'open'?"),
    ],
)
def test_each_slip_has_its_sentence_and_its_line(name, text):
    assert told(chart(name)) == [f"broken_charts.py:{line(name)}: {text}"]


@pytest.mark.parametrize(
    ("name", "state", "event", "first"),
    [
        ("TWICE", "lit", "the event 'bee.1'", '("lit", "bee", "dark", None),'),
        ("TWICE_BY_PREFIX", "dark", "the event 'bee.2'", '("dark", "go bee.2", "lit", None),'),
        ("TWICE_ONE_GUARD", "dark", "the event 'go'", '("dark", "go", "lit", None, "full"),'),
        ("TWICE_AT_ONCE", "dark", "no event", '("dark", None, "lit", None),'),
        ("TWICE_IN_TIME", "dark", "the time of 50 ms", '("dark", after(50), "lit", None),'),
    ],
)
def test_two_answers_to_one_event_name_the_row_that_is_taken(name, state, event, first):
    assert told(chart(name)) == [
        f"broken_charts.py:{line(name)}: state '{state}' of 'run' has two answers to {event}; "
        f"line {line_of(first)} is taken, this row never"
    ]


def test_two_regions_that_answer_one_event_by_leaving_the_same_states_are_told():
    first = line_of('("l1", "stop", "off", None),')
    assert told(chart("CONFLICT")) == [
        f"broken_charts.py:{line('CONFLICT')}: note: the event 'stop.now' is answered here and by state "
        f"'l1' of 'run', but both rows leave the same states; line {first} is taken, this row not"
    ]


def test_a_row_that_resets_the_regions_beside_its_target_is_told():
    assert told(chart("RESET")) == [
        f"broken_charts.py:{line('RESET')}: note: this row leaves 'both' and enters it again: "
        "'left' begins anew"
    ]


def test_a_row_into_another_chart_resets_all_the_others():
    region = Region("other", broken.Owner(), (("a", "go", "run/dark"), ("b", "go", "a"), ("a", "on", "b")))
    table = places.Places(places.Place(HERE / "none.py", 1))
    run = chart("NO_ENTRY")._replace(region=Region("run", broken.Owner(), broken.NO_ENTRY))
    found = told(run, Chart(region, table))
    assert "none.py:1: note: this row leaves every chart and enters it again: 'other' begins anew" in found


def test_numbered_states_are_no_slips_of_each_other():
    assert told(chart("NUMBERED", never_reset=False)) == []


def test_what_ends_with_the_ball_needs_no_way_out():
    assert told(chart("TRAP", never_reset=False)) == []


def test_a_note_is_silenced_by_its_line_alone_and_an_error_is_not(tmp_path):
    table = tmp_path / "table.py"
    text = '("dark", "go", "lit"),  # meant: it ends here\n("dark", "on", None, "no"),  # meant: it is not\n'
    spots = places.Places(places.Place(table, 1), [places.Place(table, 1), places.Place(table, 2)])
    rows = (("dark", "go", "lit"), ("dark", "on", None, "no"))

    def found(count):
        own = Chart(Region("run", object(), rows[:count]), spots)
        return [one.fatal for one in findings(charts.check([own]), str)]

    table.write_text(text)
    assert found(1) == []
    assert found(2) == [True]
    table.write_text(text.replace("# meant: it ends", "# it ends"))
    assert found(1) == [False]


def test_an_event_that_nobody_raises_is_told_with_the_near_miss():
    parsed = ParsedCharts([chart("UNREACHABLE")])
    found = list(unraised(parsed, {"go", "stopp", "other"}))
    assert [one.text for one in found] == [
        "'run' waits for the event 'stop', which nobody raises; did you mean 'stopp'?"
    ] * 2
    assert list(unraised(parsed, {"go.far", "stop"})) == []


def test_done_events_come_from_final_states_alone():
    raised = {"go", "faster", "bee.1", "bee.2", "end", "pause"}
    assert list(unraised(ParsedCharts([chart("GOOD")]), raised)) == []
    rows = (("a", "done.state.a", "b"), ("b", "go", "a"), (ANY, "error.execution", None))
    region = Region("run", None, rows)
    own = Chart(region, places.Places(places.Place(HERE, 1)))
    assert ["done.state.a" in one.text for one in unraised(ParsedCharts([own]), {"go"})] == [True]
