"""The scoreboard of lines: with four players the pairs alternate, two seconds each."""

from firmware.board import Board
from firmware.console import Console
from firmware.games.honey_flow import game
from firmware.games.kite_day import game as kite_day

PAIR_MS = 2000
SCORES = 8  # of line 1 and 2, three cells a chunk


class Shown(Board):
    """A board that notes when each display cell of the first line changes."""

    def __init__(self):
        self.console = None
        self.changes = []

    def text(self, chunk, cells):
        if self.console is not None and chunk < SCORES:
            self.changes.append(self.console.now)


def flips(players):
    """When the first line changed in nine seconds of a game of so many players."""
    board = Shown()
    console = Console(game, board)
    names = console.switch_names
    board.console = console
    for name in ("trough.1", "trough.2", "trough.3"):
        console.contact(names.index(name), 1)
    console.run_to(1500)
    for _ in range(players):
        for closed in (1, 0):
            console.contact(names.index("start"), closed)
            console.run_to(console.now + 250)
    assert console.play.players == players, players
    console.play.score.scores[2] = 770
    console.run_to(console.now + 50)
    board.changes.clear()
    console.run_to(console.now + 9000)
    return sorted(set(board.changes))


def test_pairs_of_scores_alternate_every_two_seconds():
    for players in (3, 4):
        at = flips(players)
        assert len(at) >= 4
        assert {at[i] - at[i - 1] for i in range(1, len(at))} == {PAIR_MS}


def test_two_scores_stay():
    assert flips(2) == []


class ThreeDisplays:
    """Kite Day's wiring with three displays of scores for its four players."""


class ThreeDisplaysGame:
    """Kite Day on such a machine."""


def copy(into, module, **others):
    for name in dir(module):
        if name.isupper():
            setattr(into, name, others.get(name, getattr(module, name)))
    return into


def test_a_player_without_a_display_plays_all_the_same():
    shown = tuple([row for row in kite_day.WIRING.DISPLAYS if row[0] != "player.4"])
    wiring = copy(ThreeDisplays, kite_day.WIRING, DISPLAYS=shown)
    console = Console(copy(ThreeDisplaysGame, kite_day, WIRING=wiring), Board(), settings={"free_play": 1})
    names = console.switch_names
    console.contact(names.index("outhole"), 1)
    console.run_to(1500)
    for _ in range(4):
        for closed in (1, 0):
            console.contact(names.index("start"), closed)
            console.run_to(console.now + 250)
    play = console.play
    assert play.players == 4
    play.score.player = 3
    play.score.live = True
    play.score.awards[0].pay(1000)
    console.run_to(console.now + 50)
    assert list(play.score.scores) == [0, 0, 0, 1000]
