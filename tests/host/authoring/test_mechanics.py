"""Each mechanic of the kit, added to an empty game from a description alone."""

import shutil
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from hil.authoring import compose, description
from hil.authoring.starter.begin import bare
from hil.authoring.starter.wanted import Wanted
from hil.bench.outcome import PASS
from hil.checks.build import all_findings
from hil.command.replay import Bench, find_scripts, game_of

MECHANICS = sorted((Path(__file__).parent / "mechanics").glob("*.txt"))
DEVICES = Wanted(drops=3, lock=2, gate=True, tunnel=True, wheel=True, kickback=True)
needs_micropython = pytest.mark.skipif(
    not (shutil.which("micropython") or Path(sys.executable).with_name("micropython").exists()),
    reason="there is no micropython command on this machine",
)


def made_of(text: Path, folder: Path, devices: Wanted = DEVICES) -> list[str]:
    """An empty game with these rules; the names of its files."""
    draft = bare(folder, devices)
    blocks = description.read(text.read_text(encoding="utf-8"), text.name, compose.kinds_and_fields())
    assert compose.compose(draft, blocks) == []
    return draft.save()


def failures(folder: Path, target: str) -> list[tuple[str, object, str]]:
    """Every script of a game that does not pass on a target, with why; there have to be some scripts."""
    paths = find_scripts([str(folder / "scripts")])
    with Bench(target) as bench:
        jobs = [(bench.read(path, game_of(path, "")), game_of(path, "")) for path in paths]
        outcomes = [bench.run(played, game) for played, game in jobs]
    return [(one.path, one.problems, one.reason) for one in outcomes if one.code != PASS]


def test_there_is_a_description_for_each_of_the_mechanics():
    assert [int(path.name[:2]) for path in MECHANICS] == list(range(1, 26))


@pytest.mark.sampled(6)
@pytest.mark.parametrize("text", MECHANICS, ids=lambda path: path.stem)
def test_a_mechanic_is_described_and_plays(text, tmp_path):
    folder = tmp_path / f"game_{text.stem}"
    files = made_of(text, folder)
    assert [str(finding) for finding in all_findings(str(folder)) if finding.fatal] == []
    rules = [name for name in files if name.startswith("features/") and name not in BARE]
    assert rules
    assert all(any(name.startswith(f"scripts/{Path(rule).stem}_") for name in files) for rule in rules)
    assert failures(folder, "desk") == []


@pytest.mark.slow
@pytest.mark.parametrize("text", MECHANICS, ids=lambda path: path.stem)
def test_a_mechanic_plays_on_a_machine_for_one_player_with_digits(text, tmp_path):
    folder = tmp_path / f"game_{text.stem}"
    made_of(text, folder, replace(DEVICES, players=1, displays="digits"))
    assert [str(finding) for finding in all_findings(str(folder)) if finding.fatal] == []
    assert failures(folder, "desk") == []


@needs_micropython
@pytest.mark.slow
@pytest.mark.parametrize("text", MECHANICS, ids=lambda path: path.stem)
def test_a_mechanic_plays_under_micropython(text, tmp_path):
    folder = tmp_path / f"game_{text.stem}"
    made_of(text, folder)
    assert failures(folder, "micropython") == []


BARE = ("features/__init__.py", "features/shots.py")
