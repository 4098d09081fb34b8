"""Planted faults: each is caught by a script that belongs to the fault's feature."""

from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil.bench import faults
from hil.bench.faults import Fault

LIST = Path(__file__).parents[1] / "faults" / "honey_flow.toml"
FAULTS = faults.read(LIST)
RULE_ERRORS = faults.read(LIST.with_name("honey_flow_rules.toml"))
TOP = faults.FIRMWARE.parent
ASKED_FOR = (
    "the run's window does not stand still",
    "the pot is doubled",
    "the guard's lamp is never claimed",
    "the bonus is paid on a tilt",
    "a coil has no rest",
)


def fault(name: str) -> Fault:
    return next(one for one in FAULTS if one.name == name)


def test_list_has_at_least_thirty_faults_of_different_names():
    assert len({one.name for one in FAULTS}) == len(FAULTS) >= 30


def test_list_of_rule_errors_has_at_least_forty_of_different_names():
    assert len({one.name for one in RULE_ERRORS}) == len(RULE_ERRORS) >= 40


@pytest.mark.parametrize("one", FAULTS + RULE_ERRORS, ids=lambda one: one.name)
def test_old_text_of_each_fault_stands_once(one):
    assert (TOP / one.file).read_text().count(one.old) == 1
    assert one.old != one.new


@pytest.mark.parametrize("one", FAULTS, ids=lambda one: one.name)
def test_each_fault_has_scripts_that_cover_its_feature(one):
    assert faults.covering("honey_flow", one.feature)


@pytest.mark.parametrize("name", ASKED_FOR)
def test_planted_fault_is_caught_by_a_script_of_its_feature(tmp_path, name):
    result = faults.hunt(fault(name), "honey_flow", tmp_path)
    assert result.problem == ""
    assert result.is_caught
    assert set(result.failed_scripts) <= set(faults.covering("honey_flow", result.fault.feature))


def test_change_that_changes_nothing_is_not_caught(tmp_path):
    idle = Fault("none", "tilt", "firmware/cabinet/tilt.py", '"""Tilt: warnings', '"""Tilt: a few warnings')
    result = faults.hunt(idle, "honey_flow", tmp_path)
    assert (result.problem, result.failed_scripts) == ("", {})


def test_checkout_is_only_read(tmp_path):
    one = FAULTS[0]
    before = (TOP / one.file).read_bytes()
    faults.inject(one, tmp_path)
    assert (TOP / one.file).read_bytes() == before
    assert (tmp_path / one.file).read_bytes() != before


def test_fault_whose_text_is_gone_is_told(tmp_path):
    gone = Fault("gone", "tilt", "firmware/cabinet/tilt.py", "no such text", "")
    assert faults.hunt(gone, "honey_flow", tmp_path).problem.endswith("the fault's old text stands 0 times")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the list has no"),
        ("[[fault]]\nname = 'a'\n", "fault 1 has the texts name, feature, file, old, new"),
        ("fault = [", "the list of faults is no TOML"),
    ],
)
def test_bad_list_is_one_sentence(tmp_path, text, said):
    path = tmp_path / "list.toml"
    path.write_text(text)
    with pytest.raises(UsageError, match=said.replace("[", r"\[")):
        faults.read(path)
