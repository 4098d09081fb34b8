"""`inlane replay`: the demo's scripts on every target that runs here, its reports, its refusals."""

import json
import shutil
import subprocess
import sys
import time
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from firmware.base.errors import LinkError
from hil import games
from hil.bench.compare import compare_all
from hil.bench.outcome import FAIL, INVALID, PASS, Outcome
from hil.bench.scripts.vocabulary import of_game
from hil.bench.session import Session
from hil.bench.targets.desk import DeskTarget
from hil.bench.view import TraceEvent
from hil.command.new import make
from hil.command.replay import Bench, find_scripts
from simulator.plant import Plant

GAME = games.load("honey_flow")
SCRIPTS = sorted(GAME.scripts.glob("*.play"))


def outcomes_on(target, paths=SCRIPTS):
    with Bench(target) as bench:
        return [bench.run(bench.read(path, GAME), GAME) for path in paths]


def inlane(*arguments, **more):
    code = "from hil.command import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=120,
        **more,
    )


def a_script(folder, text):
    path = folder / "a.play"
    path.write_text(text)
    return path


@pytest.fixture(scope="module")
def on_desk():
    return outcomes_on("desk")


def test_demo_has_at_least_thirty_scripts():
    assert len(SCRIPTS) >= 30


@pytest.mark.slow
def test_every_demo_script_passes_at_the_desk(on_desk):
    assert [(o.path, o.problems, o.reason) for o in on_desk if o.code != PASS] == []


@pytest.fixture(scope="module")
def as_read():
    """Every script, parsed and not run."""
    with Bench("desk") as bench:
        return [bench.read(path, GAME) for path in SCRIPTS]


def test_every_script_has_a_title_and_says_what_it_covers(as_read):
    assert [script.path for script in as_read if not script.title or not script.covers] == []


def test_every_feature_of_the_demo_has_a_script(as_read):
    covered = {name for script in as_read for name in script.covers}
    own = {make.name for make in GAME.module.FEATURES if make.__module__.startswith(GAME.package + ".")}
    assert own - covered == set()


def test_same_script_makes_the_same_trace_again():
    some = SCRIPTS[::40]
    first, again = outcomes_on("desk", some), outcomes_on("desk", some)
    assert [o.digest for o in again] == [o.digest for o in first]
    assert len({o.digest for o in first}) == len(some) >= 10
    assert [(o.path, o.problems, o.reason) for o in first if o.code != PASS] == []


@pytest.mark.micropython
@pytest.mark.slow
def test_demo_scripts_make_the_same_trace_under_micropython(on_desk):
    """One in five; `.ci/run` compares all of them."""
    there, on_desk = outcomes_on("micropython", SCRIPTS[::5]), on_desk[::5]
    compare_all(on_desk, there)
    assert [(o.path, o.problems, o.reason) for o in there if o.code != PASS] == []
    assert [o.digest for o in there] == [o.digest for o in on_desk]


@pytest.mark.slow
def test_view_knows_the_state_of_every_region_from_the_trace_alone():
    words = of_game(GAME)
    for path in SCRIPTS:
        with Bench("desk") as bench:
            script = bench.read(path, GAME)
        target = DeskTarget(GAME)
        plant = Plant(GAME.tables("routes"), words.names.switches, words.names.coils, seed=script.seed)
        session = Session(script, target, words, GAME.wiring, plant)
        session.run()
        console = target._console
        table, leaf = console.table, console.engine.leaf
        names = [path.rpartition("/")[2] for path in table.names]
        truth = {names[table.roots[c]]: names[leaf[c]] for c in range(table.charts)}
        assert session.view.states == truth, path.name


def test_view_knows_the_lamps_and_the_display_from_the_trace_alone():
    words = of_game(GAME)
    with Bench("desk") as bench:
        script = bench.read(GAME.scripts / "whole_game.play", GAME)
    target = DeskTarget(GAME)
    plant = Plant(GAME.tables("routes"), words.names.switches, words.names.coils, seed=script.seed)
    session = Session(script, target, words, GAME.wiring, plant)
    session.run()
    console = target._console
    assert list(session.view.lamps.values()) == list(console.play.lamps.shown)
    assert session.view.scores.get(1, 0) == console.play.score.scores[0]


def test_an_event_that_found_the_charts_queue_full_is_told():
    target = DeskTarget(GAME)
    target.start(1, {})
    for _ in range(33):
        target._console.engine.post(0)
    with pytest.raises(LinkError, match="queues overflowed: 1 events lost"):
        target.records()


@pytest.mark.micropython
@pytest.mark.slow
def test_real_time_run_is_labelled_and_compared_by_order_and_time():
    done = inlane(
        "replay",
        GAME.scripts / "bee_lanes_complete.play",
        "--on",
        "micropython",
        "--real-time",
        "--same-as",
        "desk",
    )
    assert done.returncode == PASS, done.stdout
    assert "real time, hash not compared" in done.stdout


def outcome_with(history, real_time=True):
    outcome = Outcome("a.play", "", (), "there", digest="00", real_time=real_time)
    outcome.history = [TraceEvent(*row) for row in history]
    return outcome


@pytest.mark.parametrize(
    ("here", "seen"),
    [
        ([(1000, "lamp", "pollen", 2), (15_000, "lamp", "pollen", 0)], None),
        ([(1119, "lamp", "pollen", 2), (15_399, "lamp", "pollen", 0)], None),
        ([(1121, "lamp", "pollen", 2), (15_000, "lamp", "pollen", 0)], "2 at 1.121 s"),
        ([(1000, "lamp", "pollen", 3), (15_000, "lamp", "pollen", 0)], "3 at 1.000 s"),
        ([(1000, "lamp", "pollen", 2)], "1 times"),
    ],
)
def test_real_time_may_be_late_but_not_otherwise(here, seen):
    first = outcome_with([(1000, "lamp", "pollen", 2), (15_000, "lamp", "pollen", 0)], real_time=False)
    second = outcome_with(here)
    compare_all([first], [second])
    assert [problem.seen for problem in second.problems] == ([seen] if seen else [])
    assert second.code == (FAIL if seen else PASS)


def test_scripts_are_found_by_file_folder_and_pattern():
    folder = GAME.scripts
    assert find_scripts([str(folder)]) == SCRIPTS
    assert find_scripts([str(folder / "pollen_run_*.play")]) == sorted(folder.glob("pollen_run_*.play"))
    assert find_scripts([str(SCRIPTS[0]), str(SCRIPTS[0])]) == [SCRIPTS[0]]


def test_a_shot_that_waits_for_the_ball_in_a_hole_still_returns_when_its_switch_is_read(tmp_path):
    twice = "shoot hive\nexpect event made.hive posted\n" * 2
    path = a_script(tmp_path, f"title Twice into the hive\nstart 1 player\nlaunch\n{twice}")
    assert [outcome.verdict for outcome in outcomes_on("desk", [path])] == ["PASS"]


def test_failure_is_told_with_file_line_expected_seen_and_when(tmp_path):
    path = a_script(tmp_path, "start 1 player\nlaunch\nwait 1 s\nexpect lamp pollen is on\n")
    done = inlane("replay", path, "--game", "honey_flow")
    assert done.returncode == FAIL
    assert f"{path}:4: expected lamp pollen is on" in done.stdout
    assert "seen at 3." in done.stdout
    assert "lamp pollen off since 0.000 s" in done.stdout
    assert ">    3.791 s  line 4: expect lamp pollen is on" in done.stdout
    assert "windows: none open" in done.stdout


def test_reports_are_made_for_programs_too(tmp_path):
    path = a_script(tmp_path, "title A\ncovers tilt\nstart 1 player\nexpect ball is 2\n")
    junit = tmp_path / "out.xml"
    done = inlane("replay", path, "--game", "honey_flow", "--json", "--junit", junit)
    told = json.loads(done.stdout)
    assert (told["code"], told["scripts"][0]["verdict"]) == (FAIL, "FAIL")
    assert told["scripts"][0]["problems"][0]["seen"] == "ball 1"
    suite = ET.parse(junit).getroot().find("testsuite")
    assert suite.get("failures") == "1"
    assert suite.find("testcase/failure").get("message") == "expected ball is 2"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("tap inlane.lft\n", "a.play:1: there is no switch 'inlane.lft'; did you mean 'inlane.left'?"),
        ("start 1 player\nwait 3 sec\n", "a.play:2: 'sec' is no unit of time; ms, s or min"),
        (
            "wait 1 s\nexpct lamp pollen is on\n",
            "a.play:2: no line begins with 'expct'; did you mean 'expect'?",
        ),
        ("shoot left_orbt\n", "a.play:1: there is no shot 'left_orbt'; did you mean 'left_orbit'?"),
        ("set ball_save to 99\nwait 1 s\n", "a.play:1: ball_save must be 0 to 20, not 99"),
    ],
)
def test_wrong_script_is_one_sentence_and_exit_code_2(tmp_path, text, said):
    done = inlane("replay", a_script(tmp_path, text), "--game", "honey_flow", cwd=tmp_path)
    assert (done.returncode, done.stderr.strip()) == (2, said)
    assert done.stdout == ""


def test_one_wrong_script_keeps_all_of_them_from_running(tmp_path):
    good = tmp_path / "good.play"
    good.write_text("wait 1 s\n")
    bad = tmp_path / "bad.play"
    bad.write_text("wait\n")
    done = inlane("replay", good, bad, "--game", "honey_flow")
    assert done.returncode == 2
    assert "PASS" not in done.stdout


def test_missing_script_is_one_sentence_and_exit_code_2():
    done = inlane("replay", GAME.scripts / "pollen_run_mad.play")
    assert done.returncode == 2
    assert done.stderr.strip().endswith("there is no such script; did you mean 'pollen_run_made.play'?")


def test_script_outside_a_game_needs_its_name(tmp_path):
    done = inlane("replay", a_script(tmp_path, "wait 1 s\n"))
    assert done.returncode == 2
    assert "name the game with --game" in done.stderr


def test_port_that_is_not_there_is_invalid(tmp_path):
    done = inlane("replay", SCRIPTS[0], "--on", tmp_path / "no_port")
    assert done.returncode == INVALID
    assert "INVALID" in done.stdout
    assert "Traceback" not in done.stdout + done.stderr


@pytest.mark.micropython
def test_target_that_runs_another_game_is_invalid(tmp_path):
    from hil.micropython import Spawned

    folder = tmp_path / "other_apiary"
    shutil.copytree(GAME.folder, folder, ignore=shutil.ignore_patterns("__pycache__"))
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.honey_flow", "other_apiary"))
    spawned = Spawned(GAME)
    try:
        began = time.monotonic()
        done = inlane("replay", folder / "scripts" / "pollen_run_made.play", "--on", spawned.port)
        assert done.returncode == INVALID
        assert "PASS" not in done.stdout
        assert time.monotonic() - began < 20
    finally:
        spawned.close()


@pytest.mark.micropython
def test_cable_pulled_in_mid_run_is_invalid_in_bounded_time():
    class Bench2(Bench):
        def _target(self, game):
            target = super()._target(game)
            advance = target.advance

            def pull(until_ms):
                if until_ms > 5000:
                    target.spawned.process.kill()
                return advance(until_ms)

            target.advance = pull
            return target

    began = time.monotonic()
    with Bench2("micropython") as bench:
        outcome = bench.run(bench.read(GAME.scripts / "pollen_run_made.play", GAME), GAME)
        whole = bench.run(bench.read(GAME.scripts / "whole_game.play", GAME), GAME)
    assert (outcome.code, whole.code) == (PASS, INVALID) or (outcome.code, whole.code) == (INVALID, INVALID)
    assert whole.reason
    assert time.monotonic() - began < 30


def test_the_scripts_of_a_game_are_found_by_its_name() -> None:
    assert find_scripts(["honey_flow"]) == SCRIPTS


@pytest.mark.parametrize("target", ["desk", pytest.param("micropython", marks=pytest.mark.micropython)])
def test_an_error_in_the_kit_is_reported_by_the_authors_line(target: str, tmp_path: Path) -> None:
    make(tmp_path / "reef", {"bank": 3})
    feature = tmp_path / "reef" / "features" / "all_bank_targets.py"
    text = feature.read_text()
    feature.write_text(text.replace("pays=(10_000, 20_000)", "pays=()"))
    line = next(n for n, words in enumerate(text.splitlines(), 1) if "self._bank.complete()" in words)
    script = tmp_path / "reef" / "scripts" / "all_bank_targets_made.play"
    game = games.load(str(tmp_path / "reef"))
    with Bench(target) as bench:
        outcome = bench.run(bench.read(script, game), game)
    assert outcome.code == FAIL
    seen = outcome.problems[0].seen
    assert f"it stopped at all_bank_targets.py:{line} in complete: IndexError" in seen
    assert "(raised at bank.py:" in seen
