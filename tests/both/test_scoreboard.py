"""The scoreboard of lines: with four players the pairs alternate, two seconds each."""

from game_rig import Played

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


def kite(players=0, **settings):
    """Kite Day in attract, or with so many players and the ball in play."""
    given = {"free_play": 0, "match": 0, "replay_1": 0, "replay_2": 0}
    given.update(settings)
    machine = Played(kite_day, given)
    machine.contact("outhole", 1)
    machine.wait(1500)
    for _ in range(players):
        machine.close("start", 250)
        machine.open("start", 250)
    if players:
        machine.open("outhole")
        machine.close("lane", 600)
        machine.open("lane")
        machine.tap("thermal.left")
    return machine


def displays(machine):
    """What the five displays show as text, points and commas left out."""
    shown = []
    for display in range(5):
        cells = []
        for chunk in range(3):
            three = machine.chunks.get(display * 8 + chunk, 0)
            cells += [three & 127, three >> 9 & 127, three >> 18 & 127]
        shown.append("".join([chr(cell) for cell in cells[: 7 if display < 4 else 2]]))
    return shown


NONE = " " * 7


def test_credits_stand_on_the_small_display_and_are_dark_in_free_play():
    machine = kite()
    assert displays(machine)[4] == " 0"
    machine.close("coin.1", 50)
    machine.open("coin.1")
    assert displays(machine)[4] == " 1"
    assert displays(kite(free_play=1))[4] == "  "


def test_each_player_has_a_display_and_the_small_one_shows_the_ball():
    machine = kite(3, free_play=1)
    assert displays(machine) == ["    100", "      0", "      0", NONE, " 1"]
    assert [machine.shown("up." + str(i + 1)) for i in range(4)] == [1, 0, 0, 0]
    machine.tap("thermal.right")
    assert displays(machine)[0] == "    200"


def test_the_match_stays_on_the_small_display_until_the_attract_with_the_best_score_in_turn():
    machine = kite(1, free_play=1, match=50)
    machine.play.ball = 3
    machine.close("outhole", 1500)
    drawn = machine.play.find("match").drawn.value
    assert displays(machine)[4] == str(drawn) + "0"
    assert displays(machine)[0] == "    100"
    assert [machine.shown("up." + str(i + 1)) for i in range(4)] == [0] * 4
    seen = []
    for _ in range(14):
        machine.wait(1000)
        seen.append(displays(machine))
    assert seen[-1][4] == "  "
    scores, best = ["    100", NONE, NONE, NONE], [" 150000"] * 4
    turns = [page[:4] for page in seen]
    flips = [i for i in range(1, 14) if turns[i] != turns[i - 1]]
    assert [turns[i] for i in [0] + flips] == ([scores, best, scores, best] + [scores])[: 1 + len(flips)]
    assert len(flips) >= 2 and flips[1] - flips[0] == 4
