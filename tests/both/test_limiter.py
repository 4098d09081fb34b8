"""The coil limiter: what it refuses, to the millisecond, and that no request gains budget."""

from limiter_rig import BUMPER, BUMPER_2, EJECT, HOLD, KICK, KICK_2, STARTS, Rig, changed

from boards.unix.trials.small_machine import SmallMachine
from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.devices.limiter_state import build, drive_of
from firmware.devices.native import limiter as c

NOT_PULSES = (0, -2, -3, -20, -(1 << 20), -(1 << 29))
TOO_LONG_PULSES = (61, 1000, 250_001, 1 << 20, (1 << 29) - 1)


def test_what_is_no_length_of_time_is_refused_and_leaves_no_trace():
    for coil in range(len(SmallMachine.COILS)):
        rig = Rig()
        before = list(rig.limiter.state)
        for ms in NOT_PULSES:
            assert rig.limiter.fire(coil, ms, 0) == c.NO_LENGTH, (coil, ms)
            assert rig.limiter.reason(coil, ms, 0) == c.NO_LENGTH
            assert rig.reports() == [(c.REFUSED, coil, c.NO_LENGTH)]
        after = list(rig.limiter.state)
        assert after[c.HEAD : after[c.AT_RING]] == before[c.HEAD : before[c.AT_RING]]
        assert not rig.limiter.driven(0)


def test_what_is_too_long_is_refused_also_for_a_coil_that_may_be_held():
    for ms in TOO_LONG_PULSES:
        assert Rig().limiter.fire(EJECT, ms, 0) == c.TOO_LONG, ms
    assert Rig().limiter.fire(EJECT, 60, 0) == 0
    assert Rig().limiter.fire(EJECT, c.HOLD, 0) == c.TOO_LONG
    for ms in TOO_LONG_PULSES[2:]:
        assert Rig().limiter.fire(HOLD, ms, 0) == c.TOO_LONG, ms
    assert Rig().limiter.fire(HOLD, c.LONGEST_PULSE, 0) == 0
    assert Rig().limiter.fire(HOLD, c.HOLD, 0) == 0


def test_a_pulse_ends_in_its_time_and_rests_then_also_over_the_wrap():
    for start in (ticks.MASK - 10, ticks.MASK - 100, 5):
        rig = Rig(start)
        assert rig.limiter.fire(EJECT, 30, rig.now) == 0
        rig.run(29)
        assert rig.limiter.driven(rig.now)
        rig.run(1)
        assert not rig.limiter.driven(rig.now)
        assert rig.limiter.resting(EJECT, rig.now) == 300
        rig.run(299)
        assert rig.limiter.fire(EJECT, 30, rig.now) == c.RESTING
        rig.run(1)
        assert rig.limiter.fire(EJECT, 30, rig.now) == 0


def test_a_coil_that_rested_for_half_a_period_may_fire():
    rig = Rig()
    assert rig.limiter.fire(EJECT, 30, 0) == 0
    far = ticks.HALF + 40
    assert rig.limiter.resting(EJECT, far) == 0
    assert rig.limiter.fire(EJECT, 30, far) == 0


def test_a_contact_fires_again_after_it_was_open_for_five_milliseconds():
    for start in STARTS:
        for ms, again in ((4, []), (5, [KICK])):
            rig = Rig(start)
            rig.run(1)
            rig.contact(BUMPER, 1)
            assert rig.fired() == [KICK]
            rig.run(100)
            rig.contact(BUMPER, 0)
            rig.run(ms)
            rig.contact(BUMPER, 1)
            assert rig.fired() == again, (start, ms)


def test_a_contact_fires_again_after_the_longest_time_that_can_be_told():
    rig = Rig()
    rig.run(1)
    rig.contact(BUMPER, 1)
    rig.run(100)
    rig.contact(BUMPER, 0)
    rig.reports()
    rig.now = ticks.add(rig.now, ticks.MASK)
    rig.limiter.renew(True, rig.now)
    rig.contact(BUMPER, 1)
    assert rig.fired() == [KICK]


def test_a_resting_ball_is_kicked_three_times_again_and_then_the_contact_must_be_open_for_two_seconds():
    for start in STARTS:
        for ms, again in ((1999, []), (2000, [KICK])):
            rig = Rig(start)
            rig.run(1)
            rig.contact(BUMPER, 1)
            rig.run(1999)
            assert rig.fired() == [KICK] * 4
            rig.run(1)
            assert rig.reports() == [(c.REFUSED, KICK, c.RESTED_ON)]
            rig.run(1000)
            assert rig.reports() == []
            rig.contact(BUMPER, 0)
            rig.run(ms)
            rig.contact(BUMPER, 1)
            assert rig.fired() == again, (start, ms)


def test_a_contact_that_chatters_is_answered_twenty_times_at_once_and_then_five_times_a_second():
    for start in STARTS:
        rig = Rig(start)
        rig.run(1)
        answers = []
        for _ in range(44):  # each tenth of a second: the n-th is within 20 + 5 a second up to n = 39
            rig.contact(BUMPER_2, 1)
            told = [report for report in rig.reports() if report[0] != c.ENDED]
            assert len(told) == 1, (start, told)
            answers.append(told[0])
            rig.run(50)
            rig.contact(BUMPER_2, 0)
            rig.run(50)
        assert [what for what, _, _ in answers[:39]] == [c.FIRED] * 39
        assert answers[39] == (c.REFUSED, KICK_2, c.STORMING)
        assert [what for what, _, _ in answers[40:]] == [c.FIRED, c.REFUSED, c.FIRED, c.REFUSED]


def test_a_resting_ball_is_kicked_by_a_look_that_comes_late():
    rig = Rig()
    rig.run(1)
    rig.contact(BUMPER, 1)
    rig.reports()
    rig.now += 503
    rig.limiter.renew(True, rig.now)
    rig.limiter.tick(rig.now)
    assert rig.fired() == [KICK]


def test_a_number_that_is_negative_or_cannot_be_counted_is_refused_at_set_up():
    coil, heat, kick = SmallMachine.COILS[-1], SmallMachine.HEAT[0], SmallMachine.REFLEXES[0]
    flipper = SmallMachine.FLIPPERS[0]
    for table, row, words in (
        ("COILS", coil[:3] + (250_001, 300, 24), "longest on-time of coil 'eject' in ms is 250001"),
        ("COILS", coil[:3] + (-60, 300, 24), "longest on-time of coil 'eject' in ms is -60"),
        ("COILS", coil[:4] + (-300, 24), "rest of coil 'eject' in ms is -300"),
        ("HEAT", heat[:2] + (500_001, 5), "heat budget of coil 'kick.1' in ms is 500001"),
        ("HEAT", heat[:2] + (-400, 5), "heat budget of coil 'kick.1' in ms is -400"),
        ("HEAT", heat[:3] + (-5,), "percent of on-time of coil 'kick.1' is -5"),
        ("HEAT", heat[:3] + (101,), "percent of on-time of coil 'kick.1' is 101"),
        ("HEAT", heat[:1] + (-9000,) + heat[2:], "milliamperes of coil 'kick.1' is -9000"),
        ("REFLEXES", kick[:2] + (-1, 80), "pulse of reflex 'bumper.1' in ms is -1"),
        ("REFLEXES", kick[:3] + (-80,), "lockout of reflex 'bumper.1' in ms is -80"),
        ("FLIPPERS", flipper[:4] + (-1,), "strong pulse of flipper 'button' in ms is -1"),
    ):
        try:
            build(changed(table, row))
        except GameError as error:
            assert words in str(error), (words, str(error))
        else:
            raise AssertionError(words)


def is_taken(table, row):
    try:
        build(changed(table, row))
    except GameError:
        return False
    return True


def test_numbers_are_taken_up_to_both_ends_and_no_further():
    coil, heat, kick = SmallMachine.COILS[-1], SmallMachine.HEAT[0], SmallMachine.REFLEXES[0]
    flipper = SmallMachine.FLIPPERS[0]
    for table, make, least, most in (
        ("COILS", lambda n: coil[:3] + (n,) + coil[4:], 0, c.LONGEST_PULSE),
        ("COILS", lambda n: coil[:4] + (n,) + coil[5:], 0, c.LONGEST_PULSE),
        ("HEAT", lambda n: heat[:1] + (n,) + heat[2:], 0, 1_000_000),
        ("HEAT", lambda n: heat[:2] + (n,) + heat[3:], 0, 2 * c.LONGEST_PULSE),
        ("HEAT", lambda n: heat[:3] + (n,), 0, 100),
        ("REFLEXES", lambda n: kick[:2] + (n,) + kick[3:], 1, c.LONGEST_PULSE),
        ("REFLEXES", lambda n: kick[:3] + (n,), 0, c.LONGEST_PULSE),
        ("FLIPPERS", lambda n: flipper[:4] + (n,), 1, c.LONGEST_PULSE),
    ):
        taken = [is_taken(table, make(n)) for n in (least - 1, least, most, most + 1)]
        assert taken == [False, True, True, False], (table, make(least))


def test_a_coil_says_its_drive():
    state = build(SmallMachine)
    assert [drive_of(state, coil) for coil in range(len(SmallMachine.COILS))] == [3, 4, 5, 6, 25, 24]


def test_a_lockout_that_ended_half_a_period_ago_is_over():
    for ms in (1, 40, 79):
        rig = Rig()
        rig.run(1)
        rig.contact(BUMPER, 1)
        assert rig.fired() == [KICK]
        rig.contact(BUMPER, 0)
        rig.now = ticks.add(rig.now, 80 + ticks.HALF - ms)
        rig.limiter.renew(True, rig.now)
        rig.contact(BUMPER, 1)
        assert rig.fired() == [KICK], ms
