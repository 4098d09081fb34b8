"""The pytest plugin: the fixture `bench`, scripts as tests, its options, and that it leaves others alone."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import firmware
from hil.command.new import make
from hil.command.replay import Bench, game_of

ROOT = Path(firmware.__path__[0]).parent

POLLEN = """
def test_pollen(bench):
    bench.seed(7)
    bench.set("ball_save", 0)
    bench.start()
    bench.launch()
    bench.tap("inlane.left")
    bench.expect_lamp("pollen").blinking("slow")
    bench.tap("orbit.right")
    bench.expect_award("pollen_run.collected").paid(30_000)
    bench.expect_lamp("pollen").off(within="1 s")
    bench.shoot("right_orbit")
    assert bench.score >= 30_000
    print("TEXT" + bench.session.text + "END", bench.session.finish().digest)
"""


def pytest_in(folder, *arguments):
    """Run pytest in a folder of its own, as somebody who installed the package would."""
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "hil.pytest_plugin", "-p", "no:cacheprovider", *arguments],
        cwd=folder,
        env=dict(os.environ, PYTHONPATH=str(ROOT)),
        capture_output=True,
        text=True,
        timeout=180,
    )


def written(folder, text, name="test_it.py"):
    (folder / name).write_text(text)
    return folder


def on_honey_flow(folder, body, *arguments):
    written(folder, body)
    return pytest_in(folder, "--inlane-game", "honey_flow", *arguments)


def test_a_test_in_python_gives_the_trace_of_the_same_lines_in_a_script(tmp_path):
    told = on_honey_flow(tmp_path, POLLEN, "-s")
    assert told.returncode == 0, told.stdout
    script, digest = told.stdout.split("TEXT")[1].split("END ")
    (tmp_path / "same.play").write_text(script)
    with Bench("desk") as bench:
        game = game_of(tmp_path / "same.play", "honey_flow")
        assert bench.run(bench.read(tmp_path / "same.play", game), game).digest == digest.split()[0]


def test_what_is_not_as_expected_is_told_with_the_run_as_a_script(tmp_path):
    told = on_honey_flow(
        tmp_path, "def test_it(bench):\n    bench.start()\n    bench.expect_lamp('pollen').on(within='1 s')\n"
    )
    assert told.returncode == 1
    assert "expected lamp pollen is on within 1 s" in told.stdout
    assert "lamp pollen off since 0.000 s" in told.stdout
    assert "the run as a script:" in told.stdout
    assert "start 1 players" in told.stdout


def test_an_expectation_that_demands_nothing_is_refused(tmp_path):
    told = on_honey_flow(
        tmp_path, "def test_it(bench):\n    bench.start()\n    bench.expect_lamp('pollen')\n"
    )
    assert told.returncode == 1
    assert "'expect lamp pollen' demands nothing" in told.stdout


def test_standing_checks_are_made_at_the_end_of_each_test(tmp_path):
    body = "def test_it(bench):\n    bench.start()\n    bench.session.plant.balls.pop()\n"
    told = on_honey_flow(tmp_path, body)
    assert told.returncode == 1
    assert "standing check" in told.stdout


def test_a_wrong_name_is_told_without_running(tmp_path):
    told = on_honey_flow(tmp_path, "def test_it(bench):\n    bench.tap('inlane.lefd')\n")
    assert "there is no switch 'inlane.lefd'; did you mean 'inlane.left'?" in told.stdout


@pytest.fixture(scope="module")
def new_game(tmp_path_factory):
    folder = tmp_path_factory.mktemp("new") / "pond"
    make(folder, {"bank": 3})
    return folder


def test_a_new_game_has_a_test_that_passes_beside_its_scripts_also_with_two_workers(new_game):
    scripts = len(list(new_game.rglob("*.play")))
    told = pytest_in(new_game, "-n", "2")
    assert told.returncode == 0, told.stdout
    assert f"{scripts + 1} passed" in told.stdout


def test_a_script_that_fails_is_reported_by_file_and_line(new_game):
    bad = new_game / "scripts" / "bad.play"
    bad.write_text("start 1 player\nexpect score is 7\n")
    try:
        told = pytest_in(new_game, str(bad))
    finally:
        bad.unlink()
    assert told.returncode == 1
    assert "scripts/bad.play:2: expected score is 7" in told.stdout
    assert "seen at" in told.stdout


@pytest.mark.micropython
def test_tests_run_on_micropython(new_game):
    told = pytest_in(new_game, "--inlane-on", "micropython")
    assert told.returncode == 0, told.stdout


def test_several_workers_on_one_machine_are_refused(tmp_path):
    told = pytest_in(tmp_path, "--inlane-on", "/dev/ttyNONE", "-n", "2")
    assert told.returncode == 4
    assert "is one machine" in told.stderr


def test_a_project_that_has_no_game_is_left_alone(tmp_path):
    (tmp_path / "scene.play").write_text("enter a ghost\n")
    written(
        tmp_path,
        "import sys\n\n\ndef test_it():\n"
        "    assert not [name for name in sys.modules if name.split('.')[0] in ('pygame', 'firmware')]\n"
        "    ours = {name for name in sys.modules if name.startswith('hil')}\n"
        "    assert ours == {'hil', 'hil.pytest_plugin'}\n",
    )
    told = pytest_in(tmp_path)
    assert told.returncode == 0, told.stdout
    assert "1 passed" in told.stdout
