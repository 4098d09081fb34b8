"""After a whole game nothing scores any more, so light and counts are what they are in attract."""

import pytest

from hil.command.season_game import Job, match_of


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
