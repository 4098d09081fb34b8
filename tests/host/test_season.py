"""A small mixed season: seeded games with failing coils, stray balls, rough players and odd settings."""

import pytest
from typer.testing import CliRunner

from hil.command import app
from hil.command.season_game import Job, play_one
from hil.game_tables import SettingRow
from simulator.player import mixed_settings

SEEDS = (3, 5, 17, 29, 233)


def played(seed: int, **settings: int):
    return play_one(Job("honey_flow", "mixed", seed, 4, settings, mixed=True))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.slow
def test_game_ends_with_every_ball_accounted_for(seed):
    one = played(seed)
    assert one.findings == []
    assert one.scores
    assert sum(one.points.values()) >= sum(one.scores)


@pytest.mark.slow
def test_same_seed_is_the_same_game():
    one, two = played(17), played(17)
    assert one.digest == two.digest
    assert one.digest != played(18).digest


def test_settings_are_drawn_within_their_range():
    rows = [SettingRow("few", 3, 1, 5, "", ""), SettingRow("many", 0, 0, 100_000_000, "", "")]
    drawn = [mixed_settings(rows, seed) for seed in range(1, 200)]
    few = {one["few"] for one in drawn if "few" in one}
    assert few == {1, 2, 3, 4, 5}
    assert all(0 <= one.get("many", 0) <= 100_000_000 for one in drawn)
    assert any(0 < one.get("many", 0) < 10_000 for one in drawn)


def test_lost_ball_is_a_finding(monkeypatch):
    from simulator.plant import Plant

    monkeypatch.setattr(Plant, "lost", property(lambda plant: 1))
    assert any(finding.expected == "no ball lost" for finding in played(3).findings)


@pytest.mark.parametrize("option", [("--games", "0"), ("--players", "0"), ("--players", "9")])
def test_a_season_without_games_or_players_is_refused(option):
    ran = CliRunner().invoke(app, ["season", "kite_day", *option])
    assert ran.exit_code == 2
    assert f"Invalid value for '{option[0]}'" in ran.output
