"""A run as a script with proposed expectations: all hold, and they notice a change of what they are about."""

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.bench.contact_log import ContactChange, Run, as_script
from hil.bench.outcome import FAIL, PASS
from hil.bench.proposal import AWARDS, EVERYTHING, LAMPS, LEVELS, SCORE, check_level
from hil.command import logs, season_log
from hil.command.logs import write_log
from hil.command.replay import Bench
from hil.command.season_game import Job, play_one

GAME = games.load("honey_flow")
MADE = GAME.scripts / "pollen_run_made.play"


def run_of(path):
    with Bench("desk") as bench:
        return bench.run(bench.read(path, GAME), GAME)


def logged(path, level):
    """The log of a script with expectations, replayed; and its lines."""
    outcome = run_of(MADE)
    run = Run("a", 1, outcome.contact_changes, outcome.simulated_ms, outcome.digest, {"ball_save": 0})
    write_log(run, path, GAME, level)
    return run_of(path), path.read_text().splitlines()


@pytest.mark.parametrize("level", LEVELS)
def test_the_log_passes_whatever_is_expected(tmp_path, level):
    plain, _ = logged(tmp_path / "plain.play", "")
    outcome, lines = logged(tmp_path / "a.play", level)
    assert (outcome.code, outcome.digest) == (PASS, plain.digest), outcome.problems
    assert [line for line in lines if line.startswith("expect")]


def test_each_level_has_the_expectations_of_the_one_before(tmp_path):
    sets = []
    for level in (SCORE, AWARDS, LAMPS, EVERYTHING):
        _, lines = logged(tmp_path / f"{level}.play", level)
        sets.append({line for line in lines if line.startswith("expect")})
    assert sets[0] < sets[1] < sets[2] < sets[3]
    assert "expect award pollen_run.collected paid 30,000" in sets[1]
    assert "expect lamp pollen is blinking slow" in sets[2]
    assert "expect state of pollen_run is lit" in sets[3]


def test_an_award_that_is_not_paid_any_more_is_noticed(tmp_path):
    outcome, lines = logged(tmp_path / "a.play", AWARDS)
    assert outcome.code == PASS
    quiet = [line for line in lines if "inlane.left" not in line or line.startswith("expect")]
    (tmp_path / "b.play").write_text("\n".join(quiet) + "\n")
    assert run_of(tmp_path / "b.play").code == FAIL


def test_without_a_level_nothing_is_expected(tmp_path):
    run = Run("a", 1, [ContactChange(5, "start", True)], 9, "")
    write_log(run, tmp_path / "a.play", GAME)
    assert (tmp_path / "a.play").read_text() == as_script(run)


def test_a_game_of_a_season_is_a_script_with_the_same_trace(tmp_path):
    job = Job("kite_day", "regular", 3, 1, {}, False)
    played = play_one(job)
    path = tmp_path / "game.play"
    told = season_log.write(job, path, AWARDS)
    kite = games.load("kite_day")
    with Bench("desk") as bench:
        outcome = bench.run(bench.read(path, kite), kite)
    assert (outcome.code, outcome.digest) == (PASS, played.digest), outcome.problems
    assert "seed 3" in told


@pytest.mark.parametrize(
    ("log", "seed", "expect", "said"),
    [
        (None, None, "awards", "goes with --log"),
        (None, 4, "", "goes with --log"),
        ("a.play", 4, "", "--log-seed must be 1 to 3, the seeds of the games, not 4"),
        ("a.play", None, "award", "--expect takes score, awards, lamps, everything, not 'award'"),
        ("a.txt", None, "", "a log's name ends in .play"),
    ],
)
def test_wrong_options_of_a_season_are_refused(tmp_path, log, seed, expect, said):
    with pytest.raises(UsageError, match=said):
        season_log.check(tmp_path / log if log else None, seed, expect, range(1, 4))


def test_wrong_options_of_a_replay_are_refused():
    with pytest.raises(UsageError, match="--expect goes with --log"):
        logs.check(None, AWARDS)
    with pytest.raises(UsageError, match="did you mean 'lamps'"):
        check_level("lamp")
