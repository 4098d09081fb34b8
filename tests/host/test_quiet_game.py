"""A game without records has the same ledger, counts and times as the same game with them."""

from array import array
from dataclasses import replace

import pytest

from hil import games
from hil.bench.game_result import GameResult
from hil.bench.names import of_console
from hil.bench.quiet import HASH, QuietGame
from hil.bench.quiet_console import QuietConsole
from hil.bench.rewind import NotRewindable, Rewind
from hil.command.season_game import MIXED, Job, play_one


def alike(one: GameResult) -> GameResult:
    """Without what only records give."""
    return replace(one, digest="", judged=True)


def differing(jobs: list[Job]) -> list[int]:
    found = []
    for job in jobs:
        quiet, full = play_one(job, kind=QuietGame), play_one(job)
        assert all([full.points, full.ball_ms, full.entered, full.shots, full.drains])
        assert (full.judged, quiet.judged) == (True, False)
        if alike(quiet) != alike(full):
            found.append(job.seed)
    return found


@pytest.mark.parametrize("game", ["honey_flow", "kit_room"])
def test_same_ledger_without_records(game):
    assert differing([Job(game, "regular", seed, 4, {}, False) for seed in range(40, 44)]) == []


def test_same_ledger_of_rough_players_and_odd_settings():
    assert differing([Job("honey_flow", MIXED, seed, 4, {}, True) for seed in range(50, 56)]) == []


@pytest.mark.slow
def test_same_ledger_in_500_games():
    whole = [Job("honey_flow", "regular", seed, 4, {}, False) for seed in range(1, 51)]
    short = [Job("honey_flow", "regular", seed, 2, {"balls": 1}, False) for seed in range(51, 401)]
    mixed = [Job("honey_flow", MIXED, seed, 4, {}, True) for seed in range(1, 101)]
    assert differing(whole + short + mixed) == []


def test_a_game_leaves_nothing_for_the_next():
    job = Job("honey_flow", "keen", 7, 4, {}, False)
    first = play_one(job, kind=QuietGame)
    play_one(Job("honey_flow", MIXED, 8, 4, {}, True), kind=QuietGame)
    assert play_one(job, kind=QuietGame) == first


def test_counts_agree_with_each_other():
    one = play_one(Job("honey_flow", "regular", 11, 4, {}, False), kind=QuietGame)
    assert sum(one.points.values()) >= sum(one.shot_points.values()) > 0
    assert one.balls == one.events["ball.started"] >= len(one.ball_ms) > 0
    assert one.shots["plunge"] >= one.balls
    assert sum(one.drains.values()) >= len(one.ball_ms)


def test_a_console_can_be_rewound():
    game = games.load("honey_flow")
    Rewind(QuietConsole(game.module, of_console(game.console())), (HASH,))


class Thing:
    def __init__(self) -> None:
        self.numbers = array("i", [1, 2])
        self.flags = bytearray(b"ab")
        self.names = ["x", ["y"]]
        self.seen = {3}
        self.by_name = {"k": [4]}
        self.call = self.change
        self.word = "old"

    def change(self) -> None:
        self.numbers.append(9)
        self.flags[0] = 0
        self.names[1].append("z")
        self.names.clear()
        self.seen.add(5)
        self.by_name["k"].append(6)
        self.by_name["n"] = []
        self.word = "new"
        self.extra = 1


def state(thing: Thing) -> str:
    return repr({key: value for key, value in vars(thing).items() if key != "call"})


def test_rewind_puts_every_kind_back_in_place():
    thing = Thing()
    numbers, before = thing.numbers, state(thing)
    rewind = Rewind([thing])
    for _ in range(2):
        thing.call()
        assert state(thing) != before
        rewind.rewind()
        assert state(thing) == before
    assert thing.numbers is numbers


def test_rewind_reaches_what_a_function_closes_over():
    count = 0

    def step() -> int:
        nonlocal count
        count += 1
        return count

    rewind = Rewind({"step": step})
    assert [step(), step()] == [1, 2]
    rewind.rewind()
    assert step() == 1


def test_a_generator_cannot_be_rewound():
    with pytest.raises(NotRewindable, match="generator"):
        Rewind([(one for one in ())])
