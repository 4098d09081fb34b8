"""The scoreboard of lines: with four players the pairs alternate, two seconds each."""

from firmware.board import Board
from firmware.console import Console
from firmware.games.honey_flow import game

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


def test_pairs_of_scores_alternate_every_two_seconds():
    board = Shown()
    console = Console(game, board)
    names = console.switch_names
    board.console = console
    for name in ("trough.1", "trough.2", "trough.3"):
        console.contact(names.index(name), 1)
    console.run_to(1500)
    for _ in range(4):
        for closed in (1, 0):
            console.contact(names.index("start"), closed)
            console.run_to(console.now + 250)
    assert console.play.players == 4
    console.play.score.scores[2] = 770
    board.changes.clear()
    console.run_to(console.now + 9000)
    flips = sorted(set(board.changes))
    assert len(flips) >= 4
    assert {flips[i] - flips[i - 1] for i in range(1, len(flips))} == {PAIR_MS}
