"""Reliability rows 9, 13, 17 and 20 at small counts, and that each of them can fail."""

import pytest

from firmware.base.errors import ScriptError
from firmware.parts.lights import Lights
from hil import micropython
from hil.bench import faults
from hil.bench.shrink import shrunk
from hil.benchmarks import reliability
from hil.benchmarks.reliability import malformed, spoilt_games, trials
from hil.command.rows import lost_balls, planted, stuck_switch
from simulator.plant import Plant


@pytest.mark.parametrize(("row", "count"), [(9, 12), (13, 1_500), (20, 12)])
def test_a_row_passes(row, count):
    result = reliability.run(row, count, 1)[2]
    assert result.passed, result
    assert result.ran >= count


@pytest.mark.parametrize("seed", [76, 56], ids=["short balls", "a whole game"])
def test_all_that_can_happen_to_balls_happens_in_row_20(seed):
    result = lost_balls.counted(lost_balls.play(seed))
    assert result.passed, result
    happened = ["pulses that failed", "balls astray", "searches of the machine"]
    happened.append("games in which a ball was given up")
    assert all(result.counts[name] > 0 for name in happened), result
    assert (result.counts["multiballs"] > 0) == (seed == 56)


def test_the_result_of_row_20_is_the_same_by_several_processes():
    alone, together = (list(lost_balls.run(20, 20, 1, reliability.PROCESS, workers)) for workers in (1, 2))
    assert alone == together


def test_planted_faults_are_caught_and_shrunk():
    result = reliability.run(17, 2, 3)[2]
    assert result.passed, result
    assert result.counts["lines after"] < result.counts["lines before"]


def test_row_17_has_at_least_thirty_faults():
    assert len(planted.faults.read(planted.LIST)) >= 30


def test_fault_that_changes_nothing_fails_row_17(monkeypatch, tmp_path):
    idle = tmp_path / "idle.toml"
    idle.write_text(
        '[[fault]]\nname = "none"\nfeature = "match"\nfile = "firmware/cabinet/match.py"\n'
        'old = \'"""The match: one draw\'\nnew = \'"""The match: a draw\'\n'
    )
    monkeypatch.setattr(planted, "LIST", idle)
    assert not reliability.run(17, 1, 1)[2].passed


def test_shrinking_leaves_what_matters():
    assert shrunk(list("abcdefgh"), lambda lines: {"c", "g"} <= set(lines)) == ["c", "g"]


def test_error_without_its_place_fails_row_13(monkeypatch):
    def vague(*_):
        raise ScriptError("something is wrong")

    monkeypatch.setattr(malformed.script, "parse", vague)
    assert not reliability.run(13, 40, 1)[2].passed


def test_exception_fails_row_20(monkeypatch):
    monkeypatch.setattr(Plant, "lost", property(lambda plant: 1))
    assert not reliability.run(20, 1, 1)[2].passed


def test_machine_that_raises_fails_row_9(monkeypatch):
    def broken(self, place):
        raise ValueError("negative shift count")

    monkeypatch.setattr(Lights, "would_fill", broken)
    assert not reliability.run(9, 3, 1)[2].passed


def test_every_switch_is_stuck_both_ways_in_each_phase():
    assert len(stuck_switch.cases(["a", "b"], 1)) == 2 * 2 * len(stuck_switch.PHASES)
    assert set(stuck_switch.cases(["a"], 1)) == set(stuck_switch.cases(["a"], 2))


@pytest.mark.micropython
@pytest.mark.slow
def test_row_9_plays_the_same_under_micropython():
    result = reliability.run(9, 4, 1, reliability.MICROPYTHON)[2]
    assert result.passed, result
    assert result.counts["played again under MicroPython"] == 4


@pytest.mark.micropython
def test_another_machine_under_micropython_fails_row_9(monkeypatch, tmp_path):
    fault = faults.Fault("", "", "firmware/play/switch_monitor.py", "LOOK = 20_000", "LOOK = 90_000_000")
    path = f"{faults.inject(fault, tmp_path)}:{micropython.environment()['MICROPYPATH']}"
    monkeypatch.setattr(micropython, "environment", lambda: {"MICROPYPATH": path})
    monkeypatch.setattr(stuck_switch, "cases", lambda switches, seed: [("spot", True, "attract")])
    result = reliability.run(9, 1, 1, reliability.MICROPYTHON)[2]
    assert "faults under MicroPython []" in result.wrong[-1]


@pytest.mark.micropython
def test_row_13_passes_under_micropython():
    result = reliability.run(13, 400, 1, reliability.MICROPYTHON)[2]
    assert result.passed, result
    assert result.counts["games refused"] > 0
    assert result.counts["frames refused"] > 100
    assert result.counts["settings refused"] > 10


@pytest.mark.micropython
def test_a_setting_out_of_range_that_is_taken_fails_row_13(tmp_path):
    old = "if not setting.least <= n <= setting.most:"
    fault = faults.Fault("", "", "firmware/play/settings.py", old, "if False:")
    assert not trials.there(13, 200, 1, faults.inject(fault, tmp_path)).passed


@pytest.mark.micropython
def test_a_traceback_at_start_fails_row_13(monkeypatch):
    monkeypatch.setattr(spoilt_games, "fault_text", lambda process: "Traceback (most recent call last):")
    assert not reliability.run(13, 100, 1, reliability.MICROPYTHON)[2].passed
