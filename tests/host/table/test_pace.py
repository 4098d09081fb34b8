"""The table is paced by its target: leaps over quiet time change nothing; a slow target plays the same."""

from contextlib import closing

import pytest

from hil import games
from hil.bench.run_clock import RunClock
from hil.bench.targets.choose import open_target
from hil.bench.view import View
from hil.command import rolling
from hil.command.at_desk import LONGEST_GAME_MS, DeskSetup
from simulator.table import ahead


@pytest.fixture(scope="module")
def setup():
    return DeskSetup(games.load("honey_flow"))


def played(setup, until_ms):
    machine = rolling.switch_on(setup, 5, {}, watched=True)
    machine.run_to(until_ms)
    return machine.log(5, {}, stopped=False)


def test_leaps_over_quiet_time_change_no_contact(setup, monkeypatch):
    leaping = played(setup, 20_000)
    monkeypatch.setattr(ahead, "LONGEST_MS", 1)
    stepping = played(setup, 20_000)
    assert leaping.contact_changes == stepping.contact_changes
    assert leaping.digest == stepping.digest
    assert len(leaping.contact_changes) > 40


def test_a_ball_far_from_everything_lets_the_target_run_ahead(setup):
    table = rolling.table_of(setup, 1)
    table.start(0)
    table.take(1)
    table.roll(table.balls[0], (233.0, 600.0), (0.0, 0.0))
    assert table.due() == table.now + ahead.LONGEST_MS


@pytest.mark.slow
@pytest.mark.micropython
def test_the_same_balls_roll_before_a_micropython_machine(setup):
    """A plunge, and the ball left to itself, on two targets."""

    def plunged(target):
        table = rolling.table_of(setup, 1)
        clock = RunClock(target, View(setup.vocabulary.names), table, LONGEST_GAME_MS)
        clock.start(1, {})
        clock.run_to(1000)
        clock.contact("start", True)
        clock.run_to(1100)
        clock.contact("start", False)
        clock.run_to(5000)
        table.pull(clock.now)
        clock.run_to(5700)
        table.let_go(clock.now)
        clock.run_to(12_000)
        return clock.contact_changes, clock.finish()

    with closing(open_target("desk", setup.game)) as desk:
        contacts, digest = plunged(desk)
    with closing(open_target("micropython", setup.game)) as other:
        assert plunged(other) == (contacts, digest)
    assert len(contacts) > 15
