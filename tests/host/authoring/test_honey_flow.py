"""Honey Flow's features, described, each in the place of the one written by hand: its own scripts decide.

The hive lock and its Swarm (13) are one description.
The Queen's Wheel (12) is tried by its guarded hole alone.
"""

import re
import shutil
from pathlib import Path

import pytest

from firmware.base.errors import InlaneError
from hil import games
from hil.authoring import compose, description
from hil.authoring.draft import Draft
from hil.bench.outcome import PASS
from hil.command.replay import Bench, find_scripts

DESCRIBED = Path(__file__).parent / "honey_flow.txt"
BLOCKS = description.read(DESCRIBED.read_text(encoding="utf-8"), DESCRIBED.name, compose.kinds_and_fields())
NAMES = {
    "pollen_run.collected": "pollen_run.made",
    "smoker_bank.complete": "smoker_bank.made",
    "bee_lanes.complete": "bee_lanes.made",
    "bee_lanes.first_full": "bee_lanes.first_at_top",
    "bee_lanes.full": "bee_lanes.at_top",
    "frames_bank.odd": "frames_bank.made",
    "frames_bank.even": "frames_bank.made",
    "honey_jar.won": "honey_jar.made",
    "swarm.left_ramp": "swarm.jackpot",
    "waggle.first": "waggle.step_1",
    "waggle.second": "waggle.step_2",
}
"""Names of awards by hand and as generated: a name is no behaviour."""
WORDS = {
    "swarm": (
        ("hive_lock.ball_held", "swarm_lock.held"),
        ("hive_lock", "swarm_lock"),
        ("swarm is ready", "swarm is waiting"),
        ("swarm is flying", "swarm is together"),
        ("swarm stays ready", "swarm stays waiting"),
        ("swarm stays flying", "swarm stays together"),
        ("swarm is idle", "swarm is single"),
    ),
}
"""Names of features and states, likewise."""
PAIRS = {"swarm": "hive_lock"}
"""Features by hand that one description makes besides."""
BESIDE = {"grand_wax": "wax_ladder"}
"""Rules that belong to a feature by hand, which the grammar tells as two."""
EQUAL = (
    "spring_flight",
    "bee_lanes",
    "gold_cell",
    "pollen_run",
    "smoker_bank",
    "frames_bank",
    "kept_comb",
    "guard_bee",
    "consolation",
    "special",
)


def place_of(name: str) -> tuple[str, str]:
    """The module and the class of a feature of the demo."""
    for path in sorted((games.BUILT_IN / "honey_flow" / "features").glob("*.py")):
        found = re.search(
            rf'^class (\w+)[^\n]*\n(?:(?!^class ).*\n)*?    name = "{name}"', path.read_text(), re.M
        )
        if found:
            return path.stem, found[1]
    raise LookupError(name)


def replaced(block: description.Block, folder: Path) -> None:
    """A copy of the demo with one feature as described, in its place in the order."""
    shutil.copytree(games.BUILT_IN / "honey_flow", folder, ignore=shutil.ignore_patterns("__pycache__"))
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.honey_flow", folder.name))
    if block.name in PAIRS:
        taken_out(folder, PAIRS[block.name], "")
    taken_out(folder, block.name, "    PLACE,\n")
    shutil.rmtree(folder / "scripts")
    draft = Draft(folder, folder.name)
    compose.compose(draft, [block, *(other for other in BLOCKS if BESIDE.get(other.name) == block.name)])
    draft.save()
    shutil.rmtree(folder / "scripts", ignore_errors=True)
    shutil.copytree(games.BUILT_IN / "honey_flow" / "scripts", folder / "scripts")
    game = folder / "game.py"
    text = game.read_text()
    line = re.search(rf"^from {folder.name}\.features\.{block.name} import (.+)$", text, re.M)
    assert line
    order = [name for name in re.findall(r"^    (\w+),", text, re.M) if name in line[1].split(", ")]
    for name in order:
        text = re.sub(rf"^    {name},.*\n", "", text, count=1, flags=re.M)
    game.write_text(text.replace("    PLACE,\n", "".join(f"    {name},\n" for name in order)))


def taken_out(folder: Path, name: str, place: str) -> None:
    """Take a feature by hand out of a copy; `place` stands in FEATURES in its place."""
    module, old = place_of(name)
    game = folder / "game.py"
    text = game.read_text()
    text = re.sub(rf"^from {folder.name}\.features\.{module} import {old}\n", "", text, flags=re.M)
    text = re.sub(rf"^(from {folder.name}\.features\.{module} import .*?)\b{old}, ", r"\1", text, flags=re.M)
    text = re.sub(rf"^(from {folder.name}\.features\.{module} import .*), {old}$", r"\1", text, flags=re.M)
    game.write_text(text.replace(f"    {old},\n", place, 1))
    source = folder / "features" / f"{module}.py"
    if re.search(rf"features\.{module} import", text):
        source.write_text(source.read_text().replace(f'name = "{name}"', 'name = "by_hand"'))
    else:
        source.unlink()


def verdicts(block: description.Block, folder: Path) -> dict[str, str]:
    """The demo's scripts that cover the feature, each with its first problem, "" when it passes."""
    replaced(block, folder)
    game = games.load(str(folder))
    found = {}
    with Bench("desk") as bench:
        for path in find_scripts([str(folder / "scripts")]):
            text = path.read_text()
            covered = re.search(r"^covers +(.*)$", text, re.M)
            if covered is None or not {block.name, PAIRS.get(block.name)} & {*covered[1].split(", ")}:
                continue
            for old, new in NAMES.items():
                if old.startswith(block.name + "."):
                    text = text.replace(old, new)
            for old, new in WORDS.get(block.name, ()):
                text = text.replace(old, new)
            path.write_text(text)
            found[path.stem] = _verdict(bench, path, game)
    return found


def _verdict(bench: Bench, path: Path, game: games.Game) -> str:
    try:
        outcome = bench.run(bench.read(path, game), game)
    except InlaneError as error:
        return error.text
    return "" if outcome.code == PASS else str(outcome.problems[0] if outcome.problems else outcome.reason)


@pytest.mark.slow
@pytest.mark.parametrize(
    "block", [one for one in BLOCKS if one.name not in BESIDE], ids=lambda block: block.name
)
def test_a_described_feature_behaves_as_the_one_by_hand(block, tmp_path):
    found = verdicts(block, tmp_path / f"flow_{block.name}")
    assert found
    failed = {name for name, problem in found.items() if problem}
    assert bool(failed) == (block.name not in EQUAL), failed
