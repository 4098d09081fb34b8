"""Mutations of a game's own rules: what is planted, what is caught, what is shrunk."""

import json
import subprocess
import sys

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.authoring import copying
from hil.bench.outcome import FAIL, PASS
from hil.command import faults
from hil.command.judging import Judge
from hil.command.rule_faults import RuleFault, RuleHunt, write_small
from hil.command.small_scripts import SmallScript, small_script
from hil.mutation.copies import TOP, Tree, TreeCopy
from hil.mutation.mutants import applied, rule_mutants
from hil.mutation.trial import Verdict

CHART = """class A(Feature):
    span = BALL
    chart = (
        ("up", "bank", None, "hit", "not fills"),
        ("up", "bank", "down"),
    )
"""


def planted(text):
    return [(one.kind, one.new) for one in rule_mutants("f.py", text)]


def test_rows_guards_and_spans_are_what_a_chart_offers():
    made = [("span", "span = PLAYER")]
    made += [("row", "(no row)"), ("guard", "('up', 'bank', None, 'hit'),")]
    made += [("guard", """("up", "bank", None, "hit", 'fills'),"""), ("row", "(no row)")]
    assert planted(CHART) == made


def test_a_dropped_row_leaves_the_others():
    scope = {"Feature": object, "BALL": 0}
    rows = [one for one in rule_mutants("f.py", CHART) if one.kind == "row"]
    exec(applied(CHART, rows[1]), scope)
    assert scope["A"].chart == (("up", "bank", None, "hit", "not fills"),)


def test_a_span_needs_no_import_of_its_name():
    scope = {"Feature": object, "BALL": 0}
    span = next(one for one in rule_mutants("f.py", CHART) if one.kind == "span")
    exec(applied(CHART, span), scope)
    assert scope["A"].span == 1


def test_numbers_and_comparisons_are_changed_and_calls_are_not():
    text = "class A:\n    def f(self, a):\n        self.go(a)\n        return a >= 3\n"
    assert [kind for kind, _ in planted(text)] == ["comparison", "number", "number"]


def test_rows_elsewhere_than_in_a_chart_are_left_alone():
    assert planted('class A:\n    names = (("up", "bank", None),)\n') == []


@pytest.fixture(scope="module")
def own(tmp_path_factory):
    """A game of one's own, a copy of a small one with few scripts."""
    folder = tmp_path_factory.mktemp("own") / "my_kites"
    copying.copy(games.load("kite_day"), folder)
    for path in sorted((folder / "scripts").glob("*.play")):
        if not path.name.startswith(("height", "tail")):
            path.unlink()
    return games.load(str(folder))


@pytest.mark.slow
def test_a_game_of_ones_own_is_hunted_in_a_copy_of_its_folder(own, tmp_path):
    before = {path: path.read_bytes() for path in own.folder.rglob("*.py")}
    rules = RuleHunt(own, 6, 1)
    assert {mutant.file.split("/")[0] for mutant, _ in rules.drawn} == {"my_kites"}
    found = list(rules.run(2))
    assert [one.verdict.problem for one in found] == [""] * 6
    caught = [one for one in found if one.script]
    assert caught
    small = list(rules.shrink(caught[:1], 1))
    assert write_small(small, tmp_path / "small") == 1
    assert {path: path.read_bytes() for path in own.folder.rglob("*.py")} == before
    script = next((tmp_path / "small").iterdir())
    with_fault = TreeCopy(tmp_path / "copy", rules.tree)
    mutant, text = next(one for one in rules.drawn if one[0] == caught[0].verdict.mutant)
    with_fault.write(mutant.file, text)
    for top, code in ((with_fault.top, FAIL), (own.folder.parent, PASS)):
        judge = Judge(top, str(top / "my_kites"))
        assert judge.verdict(script.name, script.read_text())[0] == code
        judge.close()


class Answering:
    """A judge that fails by what a script has."""

    def __init__(self, demands=()):
        self.demands = demands

    def verdict(self, _name, text):
        return (
            (FAIL, "lamp a is on") if all(word in text.split("\n") for word in self.demands) else (PASS, "")
        )


def test_what_fails_without_the_fault_too_is_not_kept():
    text = "tap a\ntap b\nexpect lamp a is on"
    assert small_script("a", text, Answering(["tap a"]), Answering(["never"])).lines == ["tap a"]
    assert small_script("a", text, Answering(["tap a"]), Answering()) is None
    assert small_script("a", text, Answering(["never"]), Answering(["never"])) is None


def test_a_survivor_is_told_by_what_the_traces_did():
    mutant = rule_mutants("f.py", CHART)[0]
    found = [
        RuleFault(Verdict(mutant, ran=0)),
        RuleFault(Verdict(mutant, ran=4)),
        RuleFault(Verdict(mutant, ran=4, changed=("script:a/b.play", "script:a/c.play"))),
        RuleFault(Verdict(mutant, "script:a/b.play"), SmallScript(["a", "b"], 9, "x")),
        RuleFault(Verdict(mutant, "import")),
    ]
    row = next(one for one in rule_mutants("f.py", CHART) if one.kind == "row")
    dropped = RuleFault(Verdict(row, ran=4, changed=("script:a/b.play",)))
    assert faults._rule_line(dropped).endswith("4 scripts have this chart, and pass")
    told = [faults._rule_line(one) for one in found]
    assert "no script runs this line" in told[0]
    assert "the trace of none of 4 scripts is another" in told[1]
    assert "2 of 4 scripts have another trace (b.play), and expect nothing of it" in told[2]
    assert "b.play (9 lines became 2)" in told[3]
    assert "the game does not start" in told[4]
    assert list(faults._rule_lines(found, None)) == [told[3], told[4], "2 of 5 mutations caught"]


def test_a_game_without_scripts_is_refused(tmp_path):
    folder = tmp_path / "quiet_kites"
    copying.copy(games.load("kite_day"), folder)
    for path in (folder / "scripts").glob("*.play"):
        path.unlink()
    with pytest.raises(UsageError, match="no scripts that could notice a fault"):
        RuleHunt(games.load(str(folder)), 5, 1)


def test_options_of_a_list_are_refused_with_a_game():
    words = ["faults", "kite_day", "--judge", "model"]
    ran = subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", *words], capture_output=True, text=True
    )
    assert ran.returncode == 2
    assert "go with a list" in ran.stderr


def test_settings_and_made_tables_are_no_rules():
    files = {mutant.file for mutant, _ in RuleHunt(games.load("kite_day"), 10_000, 1).drawn}
    assert "firmware/games/kite_day/features/height.py" in files
    assert not [file for file in files if file.endswith(("settings.py", "wiring.py")) or "/host/" in file]


def test_a_tree_of_ones_own_has_no_firmware(own):
    assert not Tree(own.folder.parent, (own.folder.name,)).has_firmware
    assert RuleHunt(games.load("kite_day"), 1, 1).tree.top == TOP


@pytest.mark.slow
def test_the_command_hunts_a_sample(tmp_path):
    words = ["faults", "kite_day", "--count", "2", "--shrunk", str(tmp_path / "small"), "--json"]
    ran = subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", *words], capture_output=True, text=True
    )
    told = json.loads(ran.stdout)
    assert len(told) == 2
    assert ran.returncode == (PASS if all(one["caught"] for one in told) else FAIL)
    for one in told:
        assert (one["lines"] is not None) == bool(one["script"])
