"""Twenty changes, of a script's line or of a rule's value, one at a time: each is seen in the trace hash."""

import pytest

from hil import games
from hil.bench import faults
from hil.bench.faults import Fault
from hil.bench.outcome import PASS
from hil.command.replay import Bench

GAME = games.load("honey_flow")
FEATURES = "firmware/games/honey_flow/features"

LINES = (
    # script, a line of it, the line in its place
    ("pollen_run_made", "tap inlane.left", "tap inlane.right"),
    ("pollen_run_just_in_time", "wait 13.995 s", "wait 13.996 s"),
    ("pollen_run_grows_in_the_meadow", "tap meadow.1, meadow.2, meadow.3", "tap meadow.1, meadow.2"),
    ("nectar_turns_are_a_setting", "set     nectar_turns to 20", "set     nectar_turns to 21"),
    (
        "nectar_doubles_from_the_next_switch",
        "tap spinner 40 times every 50 ms",
        "tap spinner 39 times every 50 ms",
    ),
    ("spring_flight_lands", "shoot plunge with lane 2", "shoot plunge with lane 3"),
    ("guard_bee_kicks", "shoot left_outlane", "shoot right_outlane"),
    ("special_is_250000", "tap sling.left", "tap sling.right"),
    ("tilt_two_warnings", "wait 600 ms", "wait 400 ms"),
    ("game_of_four_players", "start 4 players", "start 3 players"),
)

VALUES = (
    # script, file, a rule's value, the value in its place
    ("pollen_run_made", f"{FEATURES}/f05_pollen_run.py", "start=30_000", "start=30_010"),
    ("pollen_run_grows_in_the_meadow", f"{FEATURES}/f05_pollen_run.py", "step=2_000", "step=2_010"),
    ("pollen_run_hurries", f"{FEATURES}/f05_pollen_run.py", "seconds=14", "seconds=15"),
    ("waggle_dance_wins_the_jar", f"{FEATURES}/f11_honey_jar.py", "floor=800_000", "floor=800_010"),
    ("wax_ladder_to_the_top", f"{FEATURES}/f07_wax_ladder.py", "15_000, 40_000", "15_000, 40_010"),
    ("wax_ladder_times", f"{FEATURES}/f07_wax_ladder.py", "(18_000, 9_000)", "(18_000, 9_001)"),
    ("spring_flight_lands", f"{FEATURES}/f01_spring_flight.py", "15_000", "15_010"),
    ("end_bonus_five_turns_a_cell", f"{FEATURES}/f18_end_bonus.py", "FIFTH = 5", "FIFTH = 4"),
    ("ball_save_hidden_grace", "firmware/cabinet/ball_save.py", "HIDDEN = 1500", "HIDDEN = 150"),
    ("small_points", f"{FEATURES}/small_points.py", '"sling", 110', '"sling", 120'),
)


def hash_of(path):
    with Bench("desk") as bench:
        return bench.run(bench.read(path, GAME), GAME).digest


@pytest.mark.parametrize(("script", "line", "other"), LINES, ids=lambda value: value)
def test_one_line_of_a_script_changes_the_hash(tmp_path, script, line, other):
    path = GAME.scripts / f"{script}.play"
    lines = path.read_text().splitlines()
    assert line in lines
    changed = tmp_path / path.name
    at = lines.index(line)
    changed.write_text("\n".join([*lines[:at], other, *lines[at + 1 :]]) + "\n")
    assert hash_of(changed) != hash_of(path)


@pytest.mark.sampled(5)
@pytest.mark.parametrize(("script", "file", "old", "new"), VALUES, ids=lambda value: value)
def test_one_value_of_a_rule_changes_the_hash(tmp_path, script, file, old, new):
    root = faults.inject(Fault("mutation", "", file, old, new), tmp_path)
    there = faults.replay(root, "honey_flow", [f"{script}.play"])[0]
    assert there["trace_hash"]
    assert there["trace_hash"] != hash_of(GAME.scripts / f"{script}.play")


def test_change_that_is_no_change_leaves_the_hash(tmp_path):
    root = faults.inject(
        Fault("same", "", f"{FEATURES}/f05_pollen_run.py", "start=30_000", "start=30000"), tmp_path
    )
    there = faults.replay(root, "honey_flow", ["pollen_run_made.play"])[0]
    assert there["code"] == PASS
    assert there["trace_hash"] == hash_of(GAME.scripts / "pollen_run_made.play")
