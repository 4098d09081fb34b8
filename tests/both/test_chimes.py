"""Chimes: who hears a cue besides the coils, and a cue that nobody plays."""

from game_rig import Played

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


def strokes(machine, since):
    """Chimes that were struck: ms after the first, coil."""
    found = [(ms, name) for ms, name, _ in machine.coils[since:] if name.startswith("chime")]
    return [(ms - found[0][0], name) for ms, name in found]


def test_every_cue_strikes_its_pattern_of_the_wiring_at_its_times():
    machine = Played(game, {"free_play": 1})
    for cue, pattern in wiring.CHIMES:
        machine.wait(5000)
        since = len(machine.coils)
        machine.play.cues.play(machine.play.cues.names.index(cue))
        machine.tap("service_key")
        machine.wait(5000)
        at, expected = 0, []
        for coil, gap in pattern:
            expected.append((at, coil))
            at += gap
        assert strokes(machine, since) == expected, cue


def test_of_two_cues_the_one_with_more_strokes_left_is_heard_and_a_slam_ends_it():
    machine = Played(game, {"free_play": 1})
    machine.wait(1000)
    cues = machine.play.cues
    by_length = {len(pattern): (cue, pattern) for cue, pattern in wiring.CHIMES}
    long, pattern = by_length[max(by_length)]
    short, _ = by_length[min(by_length)]
    since = len(machine.coils)
    cues.play(cues.names.index(long))
    cues.play(cues.names.index(short))
    machine.tap("service_key")
    machine.wait(5000)
    assert [name for _, name in strokes(machine, since)] == [coil for coil, _ in pattern]
    since = len(machine.coils)
    cues.play(cues.names.index(long))
    machine.contact("service_key", 1)
    machine.wait(pattern[0][1] - 10)
    machine.post("game.slammed")
    machine.wait(5000)
    assert len(strokes(machine, since)) == 1
    since = len(machine.coils)
    cues.play(cues.names.index(short))
    machine.tap("service_key")
    machine.wait(1000)
    assert len(strokes(machine, since)) == min(by_length)
