"""Mutants: what is changed, which checks see it, and that a check's failure is what catches one."""

import ast
import functools
import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from hil.command import app
from hil.command.mutants import summary
from hil.mutation import judgements
from hil.mutation.copies import TOP, Tree, TreeCopy, source_files
from hil.mutation.hunt import draw
from hil.mutation.judgements import Judgement
from hil.mutation.mutants import MODULE, Mutant, applied, mutants
from hil.mutation.reach import PROBES, Reached, ReachMap, with_probes
from hil.mutation.trial import Verdict, judge, map_reach

LIST = Path(__file__).parents[1] / "mutants" / "judged.toml"
JUDGED = judgements.read(LIST)
SCRIPT = "script:firmware/games/honey_flow/scripts/pollen_run_made.play"
RUN = "firmware/games/honey_flow/features/f05_pollen_run.py"


@pytest.mark.parametrize(
    ("line", "made"),
    [
        ("x = a < b", ["x = (a <= b)"]),
        ("x = a == b", ["x = (a != b)"]),
        ("x = a in b", ["x = (a not in b)"]),
        ("x = 7", ["x = 8", "x = 6"]),
        ("x = True", ["x = False"]),
        ("x = not a", ["x = a"]),
        ("x = a and b", ["x = (a or b)"]),
        ("x = a + b", ["x = (a - b)"]),
        ("x = a & b", ["x = (a | b)"]),
        ("x += a", ["x -= a", "pass"]),
        ("x = f(a, b)", ["x = f(b, a)"]),
        ("x = min(a, b)", ["x = max(a, b)"]),
        ("x = a if c else b", ["x = (b if c else a)", "x = a if (not c) else b"]),
        ("f(a)", ["pass", "return"]),
        ("o.x = a", ["pass"]),
        ("raise E(a)", ["pass"]),
        ("return a", ["return"]),
        ("return None", []),
        ("return False", ["return True"]),
        ("x: int = a", []),
        ("'text'", []),
    ],
)
def test_a_line_and_all_that_may_stand_for_it(line, made):
    text = f"def f(a, b, c):\n    {line}\n"
    assert [one.new for one in mutants("f.py", text)] == made


def test_conditions_are_negated_once():
    text = "def f(a, b):\n    if a:\n        pass\n    while a == b:\n        break\n"
    assert [one.new for one in mutants("f.py", text)] == ["if (not a):", "while (a != b):", "continue"]


def test_what_a_checker_alone_reads_is_left_alone():
    lines = ('"""1"""', "TYPE_CHECKING = 0 == 1", "if TYPE_CHECKING:", "    from a import b")
    lines += ('def f(a: "t[1]") -> "t[2]":', '    """3"""', "X = 4")
    assert {one.line for one in mutants("f.py", "\n".join(lines) + "\n")} == {7}


def test_defaults_and_class_bodies_run_with_the_module():
    text = "class A:\n    x = 1\n\n    def f(self, n=2):\n        return n + 3\n"
    where = {one.old: one.function for one in mutants("f.py", text)}
    assert where == {"x = 1": "A", "def f(self, n=2):": MODULE, "return n + 3": "A.f"}


@pytest.mark.parametrize("file", ["firmware/parts/window.py", "firmware/devices/native/limiter.py"])
def test_every_mutant_of_a_file_is_one_change_that_compiles(file):
    text = (TOP / file).read_text()
    before = ast.dump(ast.parse(text))
    made = mutants(file, text)
    assert len(made) > 50
    for one in made[::5]:
        changed = applied(text, one)
        assert ast.dump(ast.parse(changed)) != before, one
        assert changed.startswith(text[: text.index(one.old.split()[0])][:10])


def test_probes_leave_a_text_doing_what_it_did():
    branches = "    if a > 1:\n        b = 1\n    elif a:\n        b = 2\n    else:\n        b = 3\n"
    text = f"def f(a):\n    '''Text.'''\n{branches}    return b\n"
    told, probes = with_probes("f.py", text, 5)
    assert [probe.number for probe in probes] == list(range(5, 10))
    scope: dict[str, object] = {PROBES: bytearray(10)}
    exec(told, scope)
    assert [scope["f"](a) for a in (2, 1)] == [1, 2]  # type: ignore[operator]
    assert list(scope[PROBES]) == [0] * 5 + [1, 1, 1, 0, 1]  # type: ignore[call-overload]


def test_checks_that_run_the_statement_come_alone_and_the_cheapest_first():
    text = "def f(a):\n    if a:\n        return 1\n    return 2\n"
    _, probes = with_probes("f.py", text, 0)
    checks = [
        Reached("slow", 2.0, frozenset({0, 1})),
        Reached("quick", 1.0, frozenset({0, 1})),
        Reached("other", 0.1, frozenset({0, 2})),
    ]
    one = next(each for each in mutants("f.py", text) if each.new == "return 2" and each.line == 3)
    assert [check.name for check in ReachMap(probes, checks).seeing(one)] == ["quick", "slow"]


def test_what_runs_at_import_is_seen_by_all_first_by_those_near_it():
    text = "N = 1\n\ndef f():\n    return N\n"
    _, probes = with_probes("f.py", text, 0)
    checks = [Reached("far", 0.1, frozenset()), Reached("near", 1.0, frozenset({0}))]
    one = mutants("f.py", text)[0]
    assert [check.name for check in ReachMap(probes, checks).seeing(one)] == ["near", "far"]


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    return TreeCopy(tmp_path_factory.mktemp("copy"))


@pytest.fixture(scope="module")
def reach(copy):
    return map_reach(copy, [RUN, "firmware/parts/window.py"], [SCRIPT])


def first_value() -> tuple[Mutant, str]:
    """The first value of Pollen Run, one greater; and its file's text so."""
    text = (TOP / RUN).read_text()
    one = next(each for each in mutants(RUN, text) if "start=30001" in each.new)
    return one, applied(text, one)


@pytest.mark.slow
def test_a_mutant_that_a_script_notices_is_caught_by_it(copy, reach):
    one, text = first_value()
    verdict = judge(copy, one, text, reach.seeing(one))
    assert verdict.is_caught, verdict
    assert verdict.by == SCRIPT


@pytest.mark.slow
def test_a_text_that_does_the_same_survives(copy, reach):
    one, _ = first_value()
    verdict = judge(copy, one, (TOP / RUN).read_text(), reach.seeing(one))
    assert (verdict.is_caught, verdict.problem, verdict.ran) == (False, "", 1)


@pytest.mark.slow
def test_what_cannot_be_imported_is_caught(copy, reach):
    one, _ = first_value()
    assert judge(copy, one, "def f(:\n", reach.seeing(one)).is_caught
    ticks = Mutant("firmware/base/ticks.py", MODULE, 1, "", "", "", 0, 0, "")
    verdict = judge(copy, ticks, "raise RuntimeError('no')\n", reach.checks)
    assert (verdict.by, "RuntimeError" in verdict.why) == ("import", True)


@pytest.mark.slow
def test_what_never_ends_is_caught_by_its_cpu_time(copy, reach):
    one, _ = first_value()
    stuck = (TOP / RUN).read_text().replace("lit = self.is_in", "while 1: pass\n        lit = self.is_in")
    assert "CPU time" in judge(copy, one, stuck, reach.seeing(one)).why


@pytest.mark.slow
def test_the_checkout_is_only_read_and_the_copy_restored(copy, reach):
    before = (TOP / RUN).read_bytes()
    one, text = first_value()
    judge(copy, one, text, reach.seeing(one))
    assert (TOP / RUN).read_bytes() == before == (copy.top / RUN).read_bytes()


@pytest.mark.slow
def test_a_tree_that_fails_without_a_mutant_is_refused(copy):
    with pytest.raises(UsageError, match="without a mutant there is no pass"):
        map_reach(copy, [RUN], ["script:firmware/games/honey_flow/scripts/no_such.play"])


def test_a_seed_draws_the_same_mutants_again():
    files = source_files(["firmware/parts"])
    assert [one.key for one, _ in draw(files, 20, 3)] == [one.key for one, _ in draw(files, 20, 3)]
    assert [one.key for one, _ in draw(files, 20, 3)] != [one.key for one, _ in draw(files, 20, 4)]


def test_equal_lines_of_a_table_are_drawn_each_by_itself(tmp_path):
    (tmp_path / "table.py").write_text("T = (\n" + "    (0, 0),\n" * 40 + ")\n")
    tree = Tree(tmp_path, ())
    first = draw(["table.py"], 8, 1, tree)
    assert len({one.line for one, _ in first}) > 4
    assert [one.line for one, _ in first] != [one.line for one, _ in draw(["table.py"], 8, 2, tree)]


def test_host_folders_and_made_tables_are_left_out():
    files = source_files(["firmware"])
    assert "firmware/parts/window.py" in files
    assert not [file for file in files if "/host/" in file]
    assert not [file for file in files if "/games/" in file and file.endswith("/wiring.py")]


def test_equivalent_mutants_do_not_count_in_the_share():
    one = Mutant("f.py", "f", 1, "number", "a", "b", 0, 1, "b")
    two = Mutant("f.py", "f", 1, "number", "a", "c", 0, 1, "c")
    verdicts = [Verdict(one, ran=1), Verdict(two, "x"), Verdict(two, "x"), Verdict(two, "x")]
    assert "3 caught, 0 equivalent" in summary(verdicts, [])
    assert "(75.0%" in summary(verdicts, [])
    assert "(100.0%" in summary(verdicts, [Judgement(one.key, "equivalent", "")])


@functools.cache
def keys_of(file: str) -> frozenset[tuple[str, str, str, str]]:
    """What the mutants of a file are found by."""
    return frozenset(each.key for each in mutants(file, (TOP / file).read_text(encoding="utf-8")))


@pytest.mark.parametrize("one", JUDGED, ids=lambda one: f"{one.key[0]} {one.key[2]}")
def test_each_judged_mutant_is_still_one(one):
    assert one.key in keys_of(one.key[0])
    assert one.why


def test_a_survivor_is_written_so_that_it_is_read_again(tmp_path):
    one, _ = first_value()
    path = tmp_path / "list.toml"
    path.write_text(judgements.as_toml(one))
    assert judgements.read(path) == [Judgement(one.key, "open", "")]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[mutant]]\nfile = 'a'\n", "mutant 1 has not just the texts file, function"),
        ("mutant = [", "the list of judgements is no TOML"),
        (
            "[[mutant]]\nfile='a'\nfunction='a'\nold='a'\nnew='a'\nwhy='a'\njudgement='fine'\n",
            "mutant 1 is judged 'fine'; allowed are equivalent, elsewhere, open",
        ),
    ],
)
def test_a_bad_list_is_one_sentence(tmp_path, text, said):
    path = tmp_path / "list.toml"
    path.write_text(text)
    with pytest.raises(UsageError, match=said):
        judgements.read(path)


@pytest.mark.parametrize("arguments", [["firmware/nowhere"], ["--judged", "nowhere.toml"]])
def test_bad_input_of_the_command_is_refused(arguments):
    ran = CliRunner().invoke(app, ["mutants", *arguments])
    assert isinstance(ran.exception, UsageError)


@pytest.mark.slow
def test_the_command_tries_a_small_sample(tmp_path):
    told = CliRunner().invoke(app, ["mutants", RUN, "--count", "2", "--seed", "1", "--json"])
    verdicts = json.loads(told.stdout)
    assert len(verdicts) == 2
    assert all(one["by"] or one["ran"] for one in verdicts)
