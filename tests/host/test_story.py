"""The story of a failure, from runs of Honey Flow and from a view alone."""

import sys
from pathlib import Path

import pytest

from firmware.base.errors import ScriptError
from hil import command, games
from hil.bench import report, story_text
from hil.bench.outcome import FAIL, INVALID
from hil.bench.scripts import script
from hil.bench.session import Session
from hil.bench.targets import choose
from hil.bench.targets.desk import DeskTarget
from hil.bench.targets.target import MachineStopped
from hil.command.replay import Bench
from simulator.plant import Plant

GAME = games.load("honey_flow")
WORDS = Bench("desk").vocabulary(GAME)
RUN = "covers pollen_run\nset ball_save to 0\nstart 1 player\nlaunch\ntap inlane.left\n"


def played(text, target=None):
    read = script.parse(text, Path("a.play"), WORDS)
    plant = Plant(GAME.tables("routes"), WORDS.names.switches, WORDS.names.coils, seed=read.seed)
    return Session(read, target or DeskTarget(GAME, records_guards=True), WORDS, GAME.wiring, plant).run()


def story_of(text, target=None):
    outcome = played(text, target)
    assert outcome.code == FAIL
    return outcome.story


class Reticent:
    """A desk that says nothing of its windows, values and guards."""

    name = "reticent"

    def __init__(self):
        desk = DeskTarget(GAME)
        for name in ("start", "contact", "advance", "records", "finish", "close"):
            setattr(self, name, getattr(desk, name))


class Breaking(DeskTarget):
    """A desk whose rules raise 777 ms after a contact."""

    at_ms = 0

    def contact(self, switch, closed):
        super().contact(switch, closed)
        if closed and WORDS.names.switches[switch] == "spinner":
            self.at_ms = self._console.now + 777

    def advance(self, until_ms):
        if self.at_ms and until_ms >= self.at_ms:
            while super().advance(self.at_ms) < self.at_ms:
                pass
            raise MachineStopped("it stopped at pot.py:12 in add: ValueError: planted", self.at_ms)
        return super().advance(until_ms)


def test_a_run_that_passes_has_no_story():
    assert played(RUN + "expect lamp pollen is lit\n").story is None


def test_the_steps_have_their_times_and_the_failing_one_its_line():
    story = story_of(RUN + "wait 2 s\nexpect lamp pollen is off\nwait 1 s\n")
    assert [step.line for step in story.steps] == [3, 4, 5, 6, 7]
    assert story.steps[-1].ms - story.steps[-2].ms == 2000
    assert story.failing_line == 7
    assert ">    4.855 s  line 7: expect lamp pollen is off" in "\n".join(story_text.lines(story))


def test_the_state_at_the_failing_line_is_told():
    story = story_of(RUN + "expect lamp pollen is off\n")
    assert story.lamps["pollen"] == "blinking slow"
    assert story.windows["pollen_run"] == 13_940
    assert story.windows["nectar_flow"] == 0
    assert story.values == {"pollen_run.value": 30_000}
    assert story.states == {"pollen_run": "lit since 2.795 s"}
    assert story.balls["playfield"] == 1
    assert "player 1 of 1, ball 1, score 1,000" in story.game


def test_a_window_that_stands_still_is_told_so():
    story = story_of(RUN + "shoot hive\nexpect window pollen_run runs\n")
    assert story.windows["pollen_run"] < 0
    assert "stands still" in "\n".join(story_text.lines(story))


def test_awards_and_transitions_count_from_the_mark():
    story = story_of(RUN + "mark\ntap orbit.right\nexpect lamp pollen is lit\n")
    assert story.since == "the mark in line 6"
    assert [words.partition("  ")[2] for words in story.awards] == ["pollen_run.collected 30,000"]
    assert [words.partition("  ")[2] for words in story.transitions] == [
        "pollen_run: from lit to dark, on made.orbit.right"
    ]


def test_an_event_that_came_in_another_state_is_told():
    story = story_of(RUN + "wait 15 s\ntap orbit.right\nexpect award pollen_run.collected paid\n")
    assert len(story.unheard) == 1
    assert "made.orbit.right came; pollen_run hears it in lit, it was in dark since" in story.unheard[0]


def test_an_event_that_was_heard_is_none_of_them():
    assert story_of(RUN + "tap orbit.right\nexpect lamp pollen is lit\n").unheard == []


def test_a_guard_that_said_no_is_a_near_miss():
    twice = "covers guard_bee\nstart 1 player\nlaunch\ntap outlane.left\ntap outlane.left\n"
    story = story_of(twice + "expect coil kickback fired\n")
    assert "guard_bee in grace: outlane.left came, guard 'lit' said no" in story.near_misses[0]


def test_what_a_target_cannot_say_is_said_to_be_unknown():
    story = story_of(RUN + "expect lamp pollen is off\n", Reticent())
    assert (story.windows, story.values, story.near_misses) == (None, None, None)
    text = "\n".join(story_text.lines(story))
    assert "windows: not known on this target" in text
    assert "what guards said is not known on this target" in text


@pytest.mark.parametrize("line", ["window pollen_run is open", "value pollen_run.value is 3"])
def test_what_a_target_cannot_say_makes_an_expectation_of_it_invalid(line):
    outcome = played(RUN + f"expect {line}\n", Reticent())
    assert outcome.code == INVALID
    assert "cannot be read on 'reticent'" in outcome.reason


def test_expectations_of_the_same_instant_are_judged_too():
    outcome = played(
        RUN + "expect player is 2\nexpect ball is 1\nexpect ball is 3\nwait 1 s\nexpect ball is 4\n"
    )
    assert [problem.line for problem in outcome.problems] == [6, 8]


def test_a_rule_that_raises_is_told_with_the_line_that_led_to_it():
    outcome = played(RUN + "tap spinner\nwait 5 s\nexpect ball is 1\n", Breaking(GAME))
    (problem,) = outcome.problems
    assert problem.line == 7
    assert outcome.story.failing_line == 7
    assert problem.at_ms == outcome.simulated_ms == 2_855 + 777


def test_a_log_of_such_a_run_fails_when_it_is_replayed(tmp_path, monkeypatch, capsys):
    monkeypatch.setitem(choose.IN_PROCESS, "desk", lambda game, records_guards: Breaking(game))
    path, log = tmp_path / "a.play", tmp_path / "log.play"
    path.write_text(RUN + "tap spinner\nwait 5 s\n")
    monkeypatch.setattr(
        sys, "argv", ["inlane", "replay", str(path), "--game", "honey_flow", "--log", str(log)]
    )
    with pytest.raises(SystemExit) as stop:
        command.main()
    out = capsys.readouterr().out
    assert stop.value.code == FAIL
    assert [line.split()[0] for line in out.splitlines() if "trace none" in line] == ["FAIL", "FAIL"]
    assert out.count("seen at 3.632 s: it stopped at pot.py:12 in add: ValueError: planted") == 2


def test_displays_are_told_as_whole_lines():
    story = story_of(RUN + 'tap orbit.right\nexpect line 1 is "HONEY"\n')
    shown = [words.partition("  ")[2] for words in story.shown]
    assert "line 1 shows 'POLLEN RUN'" in shown
    assert "line 2 shows '30,000'" in shown


def test_the_story_fits_on_a_screen_unless_all_of_it_is_asked_for():
    outcome = played(RUN + "tap meadow.1 80 times every 50 ms\nexpect lamp pollen is off\n")
    assert len(report.lines(outcome)) <= report.SCREEN
    whole = report.lines(outcome, whole=True)
    assert len(whole) > report.SCREEN
    assert not any("more" in line for line in whole)


def test_windows_and_values_of_a_machine_that_is_off_are_refused():
    text = "balls moved\nwait 1 s\npower off\nexpect window pollen_run is closed\npower on\n"
    with pytest.raises(ScriptError, match=r"a\.play:4: windows and values need a machine that is on"):
        script.parse(text, Path("a.play"), WORDS)
