"""Waveforms, read back by a reader that is not ours, and the page of a run."""

import re
import xml.etree.ElementTree as ET

import pytest
from vcdvcd import VCDVCD

from hil import games
from hil.command.replay import Bench, replay

GAME = games.load("honey_flow")
SCRIPT = """title   Pollen Run
covers  pollen_run
set     ball_save to 0

start 1 player
launch
tap inlane.left
tap meadow.1 3 times
wait 10 s
tap orbit.right
"""
WRONG = SCRIPT + "expect award pollen_run.collected paid 30,000\n"


def written(folder, text, name="run.play"):
    path = folder / name
    path.write_text(text)
    return path


def run(folder, text, **options):
    return replay([str(written(folder, text))], game="honey_flow", **options)


@pytest.fixture(scope="module")
def dump(tmp_path_factory):
    folder = tmp_path_factory.mktemp("waves")
    assert run(folder, SCRIPT, vcd=folder / "run.vcd") == 0
    return VCDVCD(str(folder / "run.vcd"))


@pytest.fixture(scope="module")
def outcome(tmp_path_factory):
    path = written(tmp_path_factory.mktemp("same"), SCRIPT)
    with Bench("desk") as bench:
        return bench.run(bench.read(path, GAME), GAME)


def test_one_unit_of_time_is_a_millisecond(dump, outcome):
    assert float(dump.timescale["timescale"]) == pytest.approx(0.001)
    assert dump.endtime == outcome.simulated_ms


def test_a_switch_has_the_edges_of_the_trace(dump, outcome):
    edges = [(e.ms, str(e.value)) for e in outcome.history if (e.kind, e.name) == ("edge", "orbit.right")]
    assert edges
    assert dump["switch.orbit.right"].tv[1:] == edges


def test_a_lamp_has_its_patterns(dump, outcome):
    patterns = [(e.ms, e.value) for e in outcome.history if (e.kind, e.name) == ("lamp", "pollen")]
    assert [value for _, value in patterns] == [2, 3, 0]
    assert [(ms, int(bits, 2)) for ms, bits in dump["lamp.pollen"].tv[1:]] == patterns


def test_a_pulsed_coil_is_on_as_long_as_its_pulse(dump, outcome):
    pulse = next(e for e in outcome.history if e.kind == "coil" and e.value > 0)
    changes = dump[f"coil.{pulse.name}"].tv
    assert (pulse.ms, "1") in changes
    assert (pulse.ms + pulse.value, "0") in changes


def test_a_window_is_open_from_its_opening_to_its_collection(dump, outcome):
    lit = [e.ms for e in outcome.history if (e.kind, e.name) == ("lamp", "pollen")]
    assert dump["window.pollen_run"].tv[1:] == [(lit[0], "1"), (lit[-1], "0")]


def test_a_value_is_known_at_each_of_its_changes(dump):
    assert [int(bits, 2) for _, bits in dump["value.pollen_run.value"].tv] == [
        30_000,
        32_000,
        34_000,
        36_000,
        30_000,
    ]


def test_the_score_is_that_of_the_ledger(dump, outcome):
    assert int(dump["score.player_1"].tv[-1][1], 2) == outcome.scores[1] == 38_500


def test_states_and_displays_are_strings_which_that_reader_skips(tmp_path):
    run(tmp_path, SCRIPT, vcd=tmp_path / "run.vcd")
    text = (tmp_path / "run.vcd").read_text()
    ident = re.search(r"\$var string 1 (\S+) pollen_run \$end", text).group(1)
    assert re.findall(rf"^s(\w+) {re.escape(ident)}$", text, re.MULTILINE) == ["dark", "lit", "dark"]
    assert re.search(r"^sPOLLEN_RUN ", text, re.MULTILINE)


@pytest.mark.micropython
def test_micropython_gives_the_same_waveforms_but_for_steps_of_its_line(dump, tmp_path):
    assert run(tmp_path, SCRIPT, vcd=tmp_path / "there.vcd", on="micropython") == 0
    there = VCDVCD(str(tmp_path / "there.vcd"))
    for name in ("switch.orbit.right", "lamp.pollen", "score.player_1"):
        assert there[name].tv == dump[name].tv
    for name in ("window.pollen_run", "value.pollen_run.value"):
        assert [level for _, level in there[name].tv] == [level for _, level in dump[name].tv]


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    folder = tmp_path_factory.mktemp("page")
    assert run(folder, WRONG, page=folder / "run.html", coverage=True) == 1
    return (folder / "run.html").read_text()


def test_the_page_needs_nothing_beside_it(page):
    assert not re.search(r"<script|<link|<img|src=|href=|url\(", page)


def test_the_page_tells_the_failure_its_lamps_and_what_is_covered(page):
    assert "expected award pollen_run.collected paid 30,000" in page
    assert "paid 36,000 instead of 30,000" in page
    assert re.search(r"<title>jar blinking slow</title>", page)
    assert re.search(r"coverage [\d.]+ %", page)


def test_the_timeline_is_well_formed_and_has_each_signal_that_changed(page):
    drawings = [ET.fromstring(svg) for svg in re.findall(r'<svg class="timeline".*?</svg>', page, re.DOTALL)]
    assert len(drawings) == 2  # the last seconds, the whole run
    labels = [text.text for text in drawings[1].iter("text") if text.get("class") == "name"]
    assert {"orbit.right", "pollen", "pollen_run", "pollen_run.value", "player_1"} <= set(labels)
    assert any(line.get("class") == "failure" for line in drawings[0].iter("line"))


def test_a_page_of_many_scripts_lists_each_and_draws_those_that_fail(tmp_path):
    for n in range(6):
        written(tmp_path, SCRIPT, f"right_{n}.play")
    written(tmp_path, WRONG, "wrong.play")
    assert replay([str(tmp_path)], game="honey_flow", page=tmp_path / "all.html") == 1
    text = (tmp_path / "all.html").read_text()
    assert text.count("<tr><td") == 7
    assert text.count('<svg class="lamps"') == 1


def test_waveforms_of_two_scripts_are_refused(tmp_path):
    written(tmp_path, SCRIPT, "a.play")
    written(tmp_path, SCRIPT, "b.play")
    with pytest.raises(Exception, match="--vcd takes one script, not 2"):
        replay([str(tmp_path)], game="honey_flow", vcd=tmp_path / "x.vcd")
