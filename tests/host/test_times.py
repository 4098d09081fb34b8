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
    ("honey_flow", "shooter_plunges_again", "event lane", "coil auto_plunger", 5000),
    ("honey_flow", "shooter_plunges_again", "coil auto_plunger", "coil auto_plunger", 2000),
    ("honey_flow", "trough_tries_again", "coil trough_eject", "coil trough_eject", 3000),
    ("honey_flow", "tilt_one_swing", "event tilt", "event after.500.tilt/swinging", 500),
    ("honey_flow", "tilt_next_serve_waits", "event tilt", "event tilt_calm", 3000),
    ("honey_flow", "ramp_too_late", "event ramp_left.enter", "event after.3000.left_ramp/climbing", 3000),
    ("honey_flow", "wheel_mute", "event turn.wheel", "event mute.wheel", 8000),
    ("honey_flow", "wax_ladder_times", "award wax_ladder.rung_4", "event wax_ladder.expired", 9000),
    ("honey_flow", "keeper_stuck_takes_several_balls", "event shown.wheel", "event cell.paid", 1500),
    ("honey_flow", "tunnel_ball_goes_missing", "event queen_cell", "event after.6000.tunnel/under_way", 6000),
    ("honey_flow", "orbit_counts_once", "event made.orbit.left", "event after.1500.left_orbit/heard", 1500),
    ("honey_flow", "restart_after_exactly_2_s", "event start", "event game.again", 2000),
    ("honey_flow", "pollen_run_just_too_late", "event inlane.left", "event pollen_run.expired", 14_000),
    ("honey_flow", "waggle_dance_late_for_the_ramp", "award waggle.first", "event waggle.expired", 12_000),
    ("honey_flow", "waggle_dance_late_for_the_orbit", "award waggle.second", "event waggle.expired", 12_000),
    ("honey_flow", "cell_shuts_in_time", "event keeper", "event cell_open.expired", 12_000),
    ("honey_flow", "swarm_save_lasts_12_s", "cue swarm", "event swarm_save.expired", 12_000),
    ("honey_flow", "guard_bee_grace_is_over", "event outlane.left", "event guard_bee.expired", 3000),
    ("honey_flow", "high_score_waits_30_seconds", "cue high_score", "event game.closed", 30_000),
    ("kit_room", "game_over_lasts_4_s", "event game.over", "event game.rested", 4000),
    ("kit_room", "filing_late", "event vice", "event filing.expired", 6000),
    ("kit_room", "chain_late", "event bench.left", "event chain.expired", 4000),
    ("kit_room", "rush_late", "event saw", "event rush.expired", 16_000),
    ("kit_room", "crew_save_lasts_5_s", "event bench.right", "event crew_save.expired", 5000),
    ("kite_day", "reel_late", "event return.left", "event reel_out.expired", 10_000),
    ("kite_day", "string_is_counted_down", "event bonus.step", "event bonus.step", 130),
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
