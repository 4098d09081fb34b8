"""Coverage: transitions, states, and guards both ways, as far as an expectation looked at them."""

import json
import random

import pytest

from firmware.base.timers import Timers
from firmware.base.trace import RECORD, Trace
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import ANY, Region, after
from firmware.charts.pack import pack
from hil import games
from hil.bench.coverage import Coverage
from hil.bench.outcome import PASS
from hil.bench.targets.guard_recorder import record_guards
from hil.command import app, covered
from hil.command.replay import Bench
from hil.reports.diagram import DASHED, UNSEEN

GAME = games.load("honey_flow")
BANK = """title Two smokers
covers smoker_bank
start 1 player
launch
"""


def run(tmp_path, text, records_guards=True):
    """The coverage of one script, and its trace hash."""
    path = tmp_path / "one.play"
    path.write_text(text)
    with Bench("desk", records_guards=records_guards) as bench:
        outcome = bench.run(bench.read(path, GAME), GAME)
        assert outcome.code == PASS, outcome.problems
        return bench.coverage[GAME.name], outcome.digest


def missing(coverage, region):
    return [words for words in coverage.missing_answers() if words.startswith(f"{region}:")]


def test_a_guard_is_missing_until_it_was_seen_true_and_false(tmp_path):
    none, _ = run(tmp_path, BANK + "expect switch lane is open\n")
    some, _ = run(tmp_path, BANK + "tap smoker.1\nexpect award small.standup paid\n")
    whole, _ = run(
        tmp_path,
        BANK
        + "tap smoker.1\nexpect award small.standup paid\ntap smoker.2, smoker.3\n"
        + "expect award smoker_bank.complete paid\n",
    )
    question = "smoker_bank: up on smoker: fills was never"
    assert missing(none, "smoker_bank")[:2] == [f"{question} true", f"{question} false"]
    assert missing(some, "smoker_bank")[:1] == [f"{question} true"]
    assert [words for words in missing(whole, "smoker_bank") if "on smoker" in words] == []


def test_what_a_guard_said_counts_only_when_an_expectation_follows(tmp_path):
    ends = "tap smoker.1\nwait 1 s\ntap smoker.2\n"
    unseen, _ = run(tmp_path, BANK + ends)
    late, _ = run(tmp_path, BANK + ends + "tap inlane.left\nexpect lamp pollen is lit\n")
    assert len(missing(unseen, "smoker_bank")) == len(missing(late, "smoker_bank")) == 4


def test_being_asked_changes_nothing_in_the_trace(tmp_path):
    text = (GAME.scripts / "whole_game.play").read_text()
    asked, digest = run(tmp_path, text)
    plain, same = run(tmp_path, text, records_guards=False)
    assert digest == same
    assert asked.answers
    assert not plain.answers
    assert "guards: what they say is known at the desk only" in list(plain.lines())


class Owner:
    """Its guard says now yes, now no."""

    def __init__(self):
        self.chance = random.Random(1)

    def odd(self, event):
        return self.chance.random() < 0.5

    def fails(self, event):
        raise ValueError("no answer")


ROWS = (
    ("a", "go", "b", None, "odd"),
    ("a", "go", None, None, "not odd"),
    ("b", "go", "a", None, "not in a"),
    ("b", "back", "a", None, "fails"),
    ("b", after(50), "a", None, "odd"),
    (ANY, "look", None, None, "in b"),
)


def machine():
    timers, events, trace = Timers(), Events(), Trace(4096)
    timers.now = trace.now = 0
    owner = Owner()
    return Engine(pack([Region("run", owner, ROWS)], events), timers, trace), events


def played(engine, events, seed):
    """The trace of random events and times, and how often a guard raised."""
    chance = random.Random(seed)
    engine.start()
    failed = 0
    for _ in range(600):
        try:
            if chance.random() < 0.5:
                engine.timers.now += 30
                timer = engine.timers.pop()
                while timer >= 0:
                    engine.send(engine.timers.event[timer])
                    timer = engine.timers.pop()
            else:
                engine.send(events.find(chance.choice(("go", "back", "look"))))
        except ValueError:
            failed += 1
    out = bytearray(RECORD * 4096)
    count = engine.trace.take(out, 0, 4096)
    return bytes(out[: count * RECORD]), failed


@pytest.mark.parametrize("seed", range(5))
def test_a_questioned_engine_does_what_the_plain_one_does(seed):
    engine, events = machine()
    answers = []
    record_guards(engine, answers)
    other, names = machine()
    assert played(engine, events, seed) == played(other, names, seed)
    assert {row for row, _ in answers} == {0, 1, 2, 3, 4, 5}
    assert {said for row, said in answers if row == 0} == {True, False}
    assert {said for row, said in answers if row in (2, 3)} == {True, False}


def test_the_command_names_what_is_missing(tmp_path, capsys):
    path = tmp_path / "one.play"
    path.write_text(BANK + "tap smoker.1\nexpect award small.standup paid\n")
    app(["replay", str(path), "--game", "honey_flow", "--coverage"], standalone_mode=False)
    told = capsys.readouterr().out.splitlines()
    figures = next(line for line in told if line.startswith("guards: "))
    seen, of = int(figures.split()[1]), int(figures.split()[3])
    assert 0 <= seen < of == len(Coverage(Bench("desk").vocabulary(GAME).names).questions)
    assert "    guard missing: smoker_bank: up on smoker: fills was never true" in told
    assert "    guard missing: smoker_bank: up on smoker: fills was never false" not in told


def test_the_games_own_features_come_first_and_the_cabinets_apart(tmp_path):
    found, _ = run(tmp_path, BANK + "tap smoker.1\nexpect award small.standup paid\n")
    own = [one.is_own for one in found.by_feature()]
    assert own == sorted(own, reverse=True)
    told = list(found.lines())
    assert told.index("the game's own features:") < told.index("the cabinet's:")
    names = {one.name for one in found.by_feature() if one.is_own}
    assert names >= {"smoker_bank", "pollen_run"}
    assert not names & {"tilt", "game", "trough"}


def test_a_feature_has_its_own_figures(tmp_path):
    found, _ = run(tmp_path, BANK + "tap inlane.left\nexpect lamp pollen is lit\n")
    told = found.of_feature("pollen_run").data()
    assert (told["transitions"], told["states"], told["own"]) == (5, 2, True)
    assert "pollen_run: dark on inlane.left to lit" not in told["missing_transitions"]
    assert len(told["missing_transitions"]) == 4
    assert told["missing_states"] == []
    assert found.of_feature("smoker_bank").data()["missing_transitions"]


def test_the_drawn_chart_marks_what_was_not_seen(tmp_path):
    found, _ = run(tmp_path, BANK + "tap smoker.1\nexpect award small.standup paid\n")
    told = covered.write_charts(found, GAME, tmp_path / "charts")
    seen = (tmp_path / "charts" / "smoker_bank.svg").read_text()
    assert "fills never true" in seen
    assert "fills never false" not in seen
    unseen = (tmp_path / "charts" / "pollen_run.svg").read_text()
    assert unseen.count(DASHED) == 4  # three arrows with a target, one state
    assert UNSEEN in unseen
    assert (tmp_path / "charts" / covered.CABINET / "tilt.svg").is_file()
    assert f"wrote {len(found.by_feature())} charts" in told


def test_the_verdicts_as_json_have_the_coverage_by_feature(tmp_path, capsys):
    path = tmp_path / "one.play"
    path.write_text(BANK + "tap smoker.1\nexpect award small.standup paid\n")
    app(["replay", str(path), "--game", "honey_flow", "--coverage", "--json"], standalone_mode=False)
    told = json.loads(capsys.readouterr().out)
    assert told["code"] == PASS
    assert {one["feature"] for one in told["coverage"]["honey_flow"]} >= {"smoker_bank", "tilt"}
