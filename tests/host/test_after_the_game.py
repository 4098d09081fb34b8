"""After a whole game nothing scores any more, so light and counts are what they are in attract."""

import pytest

from firmware.play.counts import SLAMS, TILTS
from hil.command.replay import Bench
from hil.command.season_game import Job, match_of
from hil.games import load


@pytest.mark.parametrize("game", ["honey_flow", "kite_day"])
def test_nothing_scores_after_the_last_ball(game):
    match = match_of(Job(game, "new", 3, 1, {"ball_save": 0} if game == "honey_flow" else {}, False))
    result = match.play(1, 3)
    play = match.target._console.play
    assert not result.findings
    assert sum(result.scores) > 0
    assert not play.score.live
    before = list(play.score.scores)
    assert play.score.awards[0].pay(1000) == 0
    assert list(play.score.scores) == before


@pytest.mark.parametrize(("switch", "count"), [("tilt", TILTS), ("slam", SLAMS)])
def test_a_tilt_and_a_slam_are_counted_once(tmp_path, switch, count):
    game = load("honey_flow")
    path = tmp_path / "tilt.play"
    head = "set tilt_warnings to 0\nset ball_save to 0\nstart 1 player\nlaunch\n"
    path.write_text(f"{head}tap {switch}\nwait 1 s\n")
    with Bench("desk") as bench:
        assert bench.run(bench.read(path, game), game).code == 0
        counts = bench._target(game)._console.play.counts
        assert [counts.values[at] for at in (TILTS, SLAMS)] == [at == count for at in (TILTS, SLAMS)]
