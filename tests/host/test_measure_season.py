"""`inlane measure season`: games of each length here and in another checkout, and where the time goes."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from hil.command import app
from hil.micropython import ROOT


def measured(*options: str):
    return CliRunner().invoke(app, ["measure", "season", "--game", "kit_room", "--games", "1", *options])


def test_the_same_checkout_twice_plays_the_same_games():
    ran = measured("--beside", str(ROOT), "--json")
    assert ran.exception is None, ran.exception
    figures = json.loads(ran.stdout)
    assert [row["balls"] for row in figures["here"]] == [row["balls"] for row in figures["beside"]]
    for here, there in zip(figures["here"], figures["beside"], strict=True):
        assert here["simulated_s"] == there["simulated_s"] > 0
        assert here["rate"] == pytest.approx(here["simulated_s"] / here["cpu_s"])
    assert "firmware/steps.py" in figures["shares"]
    assert 0.9 < sum(figures["shares"].values()) <= 1.01


def test_a_folder_that_is_no_checkout_is_refused(tmp_path: Path):
    ran = measured("--beside", str(tmp_path))
    assert isinstance(ran.exception, UsageError)
    assert "no hil/command/season_game.py" in str(ran.exception)
