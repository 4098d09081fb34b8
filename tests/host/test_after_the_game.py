"""After a whole game nothing scores any more, so light and counts are what they are in attract."""

import pytest

from firmware.play.counts import TILTS
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


def test_a_tilt_is_counted_once(tmp_path):
    game = load("honey_flow")
    path = tmp_path / "tilt.play"
    path.write_text(
        "set tilt_warnings to 0\nset ball_save to 0\nstart 1 player\nlaunch\ntap tilt\nwait 1 s\n"
    )
    with Bench("desk") as bench:
        assert bench.run(bench.read(path, game), game).code == 0
        assert bench._target(game)._console.play.counts.values[TILTS] == 1
