"""Reliability rows 9, 13, 17 and 20 at small counts, and that each of them can fail."""

import pytest

from firmware.base.errors import ScriptError
from firmware.parts.lights import Lights
from hil import reliability
from hil.command.rows import planted, stuck_switch
from hil.reliability import malformed
from simulator.plant import Plant


@pytest.mark.parametrize(("row", "count"), [(9, 12), (13, 1_500), (20, 12)])
def test_a_row_passes(row, count):
    result = reliability.run(row, count, 1)[2]
    assert result.passed, result
    assert result.ran >= count


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
    assert planted.shrunk(list("abcdefgh"), lambda lines: {"c", "g"} <= set(lines)) == ["c", "g"]


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
