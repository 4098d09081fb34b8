"""The coil limiter and flippers: what lifts one, what lets it fall, how often it is lifted."""

from limiter_rig import BUMPER, BUTTON, HOLD, SLING, SLING_SWITCH, STARTS, STROKE, STRONG, Rig

from boards.unix.trials.small_machine import SmallMachine
from firmware.base import ticks
from firmware.devices.native import limiter as c


def test_a_flipper_that_is_pushed_down_comes_again_at_most_three_times_a_second():
    for start in STARTS:
        for ms, again in ((0, []), (333, []), (334, [STRONG])):
            rig = Rig(start)
            rig.run(1)
            rig.contact(BUTTON, 1)
            assert rig.fired() == [STRONG, HOLD]
            rig.run(10)
            rig.contact(STROKE, 1)
            rig.run(100)
            rig.contact(STROKE, 0)
            assert rig.fired() == [STRONG]
            rig.run(min(10, ms))
            rig.contact(STROKE, 1)
            rig.run(max(0, ms - 10))
            rig.contact(STROKE, 0)
            # One that comes too soon is not asked for at all, so nothing is refused either.
            assert [coil for what, coil, _ in rig.reports() if what != c.ENDED] == again, (start, ms)


def test_a_button_that_opens_ends_both_windings_also_after_a_sling_fired():
    for start in STARTS:
        rig = Rig(start)
        rig.run(1)
        rig.contact(BUTTON, 1)
        rig.contact(SLING_SWITCH, 1)
        assert rig.fired() == [STRONG, HOLD, SLING]
        rig.run(10)
        rig.contact(BUTTON, 0)
        ends = [report for report in rig.reports() if report[1] in (STRONG, HOLD)]
        assert [(what, coil) for what, coil, _ in ends] == [(c.ENDED, STRONG), (c.ENDED, HOLD)], start
        rig.run(100)
        rig.contact(BUTTON, 1)
        assert rig.fired() == [STRONG, HOLD]


def test_flippers_fall_when_the_lease_is_over():
    for start in STARTS:
        rig = Rig(start)
        rig.run(1)
        rig.contact(BUTTON, 1)
        rig.quiet = True
        rig.run(c.LEASE_MS - 1)
        assert rig.limiter.driven(rig.now)
        rig.run(1)
        assert not rig.limiter.driven(rig.now)
        rig.contact(BUMPER, 1)
        rig.contact(BUTTON, 0)
        rig.contact(BUTTON, 1)
        assert rig.fired() == [STRONG, HOLD]  # at first


def test_a_flipper_that_fell_is_not_lifted_by_its_stroke():
    rig = Rig()
    rig.run(1)
    rig.contact(BUTTON, 1)
    rig.run(20)
    rig.contact(STROKE, 1)
    rig.quiet = True
    rig.run(c.LEASE_MS)
    rig.reports()
    rig.quiet = False
    rig.run(1)
    rig.contact(STROKE, 0)
    assert rig.fired() == []


def test_two_flippers_fall_in_the_same_millisecond():
    class Two(SmallMachine):
        COILS = SmallMachine.COILS + (
            ("strong.2", "flipper", 40, 60, 10, 7),
            ("hold.2", "flipper", -1, 0, 0, 8),
        )
        FLIPPERS = SmallMachine.FLIPPERS + (("target", "coin", "strong.2", "hold.2", 40),)

    rig = Rig(0, Two)
    rig.run(1)
    rig.contact(BUTTON, 1)
    rig.contact(5, 1)
    assert rig.fired() == [STRONG, HOLD, 6, 7]
    rig.quiet = True
    rig.run(c.LEASE_MS)
    assert not rig.limiter.driven(rig.now)


def test_a_button_lifts_nothing_once_the_lease_is_over():
    for wait, lifted in ((c.LEASE_MS - 1, [STRONG, HOLD]), (c.LEASE_MS, [])):
        rig = Rig()
        rig.run(1)
        rig.now = ticks.add(rig.now, wait)
        rig.contact(BUTTON, 1)
        assert rig.fired() == lifted, wait


def test_a_flipper_that_falls_because_its_button_opened_is_not_lifted_by_its_stroke():
    for fall in (5, 50, 500):
        rig = Rig()
        rig.run(1)
        rig.contact(BUTTON, 1)
        rig.run(10)
        rig.contact(STROKE, 1)
        rig.run(fall)
        rig.contact(BUTTON, 0)
        rig.run(20)
        rig.reports()
        rig.contact(STROKE, 0)
        rig.contact(STROKE, 1)
        rig.contact(BUTTON, 0)
        assert rig.reports() == [], fall
        assert not rig.limiter.driven(rig.now)


def test_a_flipper_that_fell_with_the_lease_is_not_lifted_by_its_stroke_either():
    rig = Rig()
    rig.run(1)
    rig.contact(BUTTON, 1)
    rig.run(10)
    rig.contact(STROKE, 1)
    rig.quiet = True
    rig.run(c.LEASE_MS + 1)
    rig.quiet = False
    rig.run(400)
    rig.reports()
    rig.contact(STROKE, 0)
    assert rig.reports() == []
    rig.contact(BUTTON, 0)
    rig.contact(BUTTON, 1)
    assert rig.fired() == [STRONG, HOLD]


def test_a_flipper_is_pushed_down_only_after_it_was_seen_at_the_end_of_its_stroke():
    rig = Rig()
    rig.run(1)
    rig.contact(STROKE, 1)  # held up by a hand
    rig.contact(BUTTON, 1)
    rig.run(100)
    rig.reports()
    rig.contact(STROKE, 0)
    assert rig.fired() == []


class TwoFlippers(SmallMachine):
    SWITCHES = (
        ("left", "flipper", "cabinet", 0, 1),
        ("stroke.left", "flipper", "cabinet", 0, 2),
        ("right", "flipper", "cabinet", 0, 3),
        ("stroke.right", "flipper", "cabinet", 0, 4),
    )
    COILS = (
        ("strong.left", "flipper", 40, 60, 10, 1),
        ("hold.left", "flipper", -1, 0, 0, 2),
        ("strong.right", "flipper", 40, 60, 10, 3),
        ("hold.right", "flipper", -1, 0, 0, 4),
    )
    REFLEXES = ()
    FLIPPERS = (
        ("left", "stroke.left", "strong.left", "hold.left", 40),
        ("right", "stroke.right", "strong.right", "hold.right", 40),
    )
    HEAT = ()
    SUPPLY_MA = 0


def test_each_of_two_flippers_has_times_of_its_own():
    for one in (0, 1):
        other = 1 - one
        rig = Rig(0, TwoFlippers)
        rig.run(1)
        for side in (one, other):
            rig.contact(2 * side, 1)
            assert rig.fired() == [2 * side, 2 * side + 1]
            rig.run(10)
            rig.contact(2 * side + 1, 1)
            rig.run(50)
        rig.reports()
        rig.contact(2 * one + 1, 0)
        assert rig.fired() == [2 * one]
        rig.run(60)
        rig.contact(2 * one + 1, 1)
        rig.contact(2 * one + 1, 0)  # pushed down again too soon
        assert rig.fired() == []
        rig.contact(2 * other + 1, 0)
        assert rig.fired() == [2 * other]
        rig.run(60)
        rig.contact(2 * other, 0)
        rig.run(1)
        assert rig.limiter.state[c.DRIVEN] == 1 << 2 * one + 1
