"""Times of cabinet and parts to the millisecond, measured in the traces of scripts.

The figures are those of the rule sheets, or of the modules themselves where a sheet says nothing. A script
alone looks every 20 ms, so it cannot tell 2,000 ms from 1,999.
"""

import functools

import pytest

from hil import games
from hil.bench.outcome import Outcome
from hil.command.replay import Bench

TIMES = (
    # game, script, from, to, ms
    ("honey_flow", "game_over_closed_for_two_seconds", "event game.closed", "event game.rested", 2000),
    ("honey_flow", "game_over_closed_for_two_seconds", "edge trough.3", "event trough_still", 500),
    ("honey_flow", "ball_save_hidden_grace", "event playfield", "event ball_save.expired", 8000),
    ("honey_flow", "ball_save_hidden_grace", "event playfield", "cue hurry", 6000),
    ("honey_flow", "ball_save_over", "event ball_save.expired", "event ball_save.over", 1500),
    ("honey_flow", "hive_gives_back", "event entered.hive", "coil hive_eject", 500),
    ("honey_flow", "search_after_15_seconds", "edge spot", "cue search", 15_000),
    (
        "honey_flow",
        "report_while_a_button_is_held",
        "event button.left",
        "event after.3000.report/holding",
        3000,
    ),
    ("honey_flow", "report_every_feature", "event report.next", "event report.next", 1500),
    ("honey_flow", "search_gives_up", "coil porch_eject", "coil bumper.1", 250),
    ("honey_flow", "end_bonus_takes_at_most_4_seconds", "event ball.ended", "event bonus.step", 100),
    (
        "honey_flow",
        "extra_ball_too_slow",
        "event outlane.right",
        "event after.4000.extra_ball/falling",
        4000,
    ),
    ("honey_flow", "keeper_down_at_the_ball_start", "event ball.started", "event raise.gate", 1),
    ("honey_flow", "keeper_tries_three_times", "event raise.gate", "event check.gate", 500),
    ("honey_flow", "match_draws_once", "event game.over", "event match.done", 3000),
    ("kite_day", "tail_pays_more_each_time", "award tail.complete", "coil tail_reset", 300),
    ("kite_day", "tail_reset_is_tried_again", "event raise.tail", "event check.tail", 500),
)


@functools.cache
def outcome(game: str, script: str) -> Outcome:
    found = games.load(game)
    with Bench("desk") as bench:
        ran = bench.run(bench.read(found.scripts / f"{script}.play", found), found)
    assert ran.code == 0
    return ran


def gap(ran: Outcome, first: str, second: str) -> int:
    """From the last `first` before a `second` to that one, the first of all; ms."""
    since = None
    for event in ran.history:
        name = f"{event.kind} {event.name}"
        if name == second and since is not None and event.ms > since:
            return event.ms - since
        if name == first:
            since = event.ms
    raise AssertionError(f"no {second} comes after a {first}")


@pytest.mark.parametrize(("game", "script", "first", "second", "ms"), TIMES, ids=lambda value: str(value))
def test_it_takes_just_as_long(game, script, first, second, ms):
    assert gap(outcome(game, script), first, second) == ms
