"""Chimes: who hears a cue besides the coils, and a cue that nobody plays."""

from firmware.base.errors import GameError
from firmware.board import Board
from firmware.console import Console
from firmware.games.kite_day import game, wiring


class Listener(Board):
    """A board with a sound board of its own; it notes cues and pulses."""

    def __init__(self):
        self.cues = []
        self.fired = []
        self.console = None

    def cue(self, cue):
        self.cues.append(self.console.play.cues.names[cue])

    def pulse(self, coil, ms):
        self.fired.append(self.console.coil_names[coil])


def test_a_board_with_sounds_hears_the_cues_that_chimes_play():
    board = Listener()
    console = board.console = Console(game, board, settings={"free_play": 1})
    console.run_to(1500)
    console.contact(console.switch_names.index("start"), 1)  # without a ball in the trough
    console.run_to(2500)
    assert board.cues == ["refused"]
    assert board.fired == ["chime.low"]


def test_a_pattern_for_a_cue_that_nobody_plays_is_refused_with_the_near_miss():
    class Wrong:
        """The tables of the game, with one cue more."""

    for name in dir(wiring):
        if name.isupper() or name[0].isupper():
            setattr(Wrong, name, getattr(wiring, name))
    Wrong.CHIMES = wiring.CHIMES + (("thousnd", (("chime.low", 130),)),)

    class Game:
        """The game with these tables."""

    for name in dir(game):
        if not name.startswith("__"):
            setattr(Game, name, getattr(game, name))
    Game.WIRING = Wrong
    try:
        Console(Game, Listener()).run_to(100)
    except GameError as error:
        assert str(error) == "cue 'thousnd' in CHIMES is played by nobody; did you mean 'thousand'?"
    else:
        raise AssertionError("it was taken")
