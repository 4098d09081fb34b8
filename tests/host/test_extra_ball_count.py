"""An extra ball that is won and then played counts once."""

from firmware.play.counts import EXTRA_BALLS
from hil import games
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.session import Session
from hil.bench.targets.desk import DeskTarget
from simulator.plant import Plant


def test_an_extra_ball_won_and_played_counts_once() -> None:
    game = games.load("honey_flow")
    vocabulary = of_game(game)
    path = game.scripts / "extra_ball_on_the_right.play"
    played = script.read(path, vocabulary, path.name)
    names = vocabulary.names
    target = DeskTarget(game)
    plant = Plant(game.tables("routes"), tuple(names.switches), tuple(names.coils), seed=played.seed)
    outcome = Session(played, target, vocabulary, game.wiring, plant).run()
    assert outcome.code == 0
    counts = target._console.play.counts
    assert counts.values[EXTRA_BALLS] == 1
