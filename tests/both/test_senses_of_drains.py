"""What the drains of the coil drives say of them."""

from senses_rig import ALL_OFF, JUDGED_MV, Bench, NoReflexes, Wiring

from firmware.devices.limiter_state import build
from firmware.devices.native import senses
from firmware.devices.supply_monitor import (
    low_drains,
    predicted,
    watched,
)


def test_a_drain_that_stays_low_with_its_drive_off_stops_everything():
    b = Bench()
    b.drains = ALL_OFF ^ 2
    assert b.run(senses.LOW_FOR) == 0
    assert b.run(1) == senses.LOCKED_ON
    assert b.s[senses.LOCKED] == 2


def test_a_drain_that_is_low_now_and_then_is_none():
    b = Bench()
    for _ in range(20):
        b.drains = ALL_OFF ^ 2
        assert b.run(senses.LOW_FOR - 1) == 0
        b.drains = ALL_OFF ^ 4
        assert b.run(1) == 0
        b.drains = ALL_OFF
        assert b.run(1) == 0


def test_a_low_drain_with_no_current_is_an_open_fuse_and_stops_that_coil_alone():
    b = Bench()
    assert b.see(drawn=9000, predicted=10_000) == 0  # the sensor has shown that it works
    b.drains = ALL_OFF ^ 2
    for _ in range(10):
        b.see()
        assert b.run(20) == 0
    assert b.s[senses.BLOCKED] == 2
    assert b.s[senses.OPEN] == 2
    assert b.s[senses.DEAD] == 0


def test_a_drain_that_stays_high_with_its_drive_on_stops_that_coil():
    b = Bench()
    b.sent = 0b101
    b.drains = ALL_OFF ^ 0b100
    assert b.run(senses.HIGH_FOR) == 0
    assert b.s[senses.BLOCKED] == 0
    assert b.run(1) == 0
    assert (b.s[senses.BLOCKED], b.s[senses.DEAD], b.s[senses.OPEN]) == (1, 1, 0)


def test_a_drain_that_answered_in_between_is_counted_anew():
    b = Bench()
    for _ in range(3):
        b.sent = 0b101
        b.drains = ALL_OFF ^ 0b100
        assert b.run(senses.HIGH_FOR) == 0
        b.drains = ALL_OFF ^ 0b101
        assert b.run(1) == 0
    assert b.s[senses.BLOCKED] == 0


def test_drains_say_nothing_on_a_bus_that_is_hardly_above_their_threshold():
    b = Bench()
    b.bus = JUDGED_MV - 1
    b.drains = ALL_OFF ^ 2
    assert b.run(500) == 0
    b.bus = JUDGED_MV
    assert b.run(senses.LOW_FOR) == 0
    assert b.run(1) == senses.LOCKED_ON


def test_all_drains_low_are_believed_from_the_same_volts_on_as_one():
    b = Bench()
    b.drains = ALL_OFF ^ 0b111111
    b.bus = JUDGED_MV - 1
    assert b.run(500) == 0
    b.bus = JUDGED_MV
    assert b.run(senses.LOW_FOR) == 0
    assert b.run(1) == senses.LOCKED_ON


def test_the_drain_of_a_drive_that_is_on_is_not_judged_as_low():
    b = Bench()
    b.sent = 1
    b.drains = ALL_OFF ^ 0b000001
    b.bus = 20_000
    assert b.run(500) == 0
    b.drains = ALL_OFF ^ 0b000011
    assert b.run(senses.LOW_FOR + 1) == senses.LOCKED_ON


def test_with_everything_off_low_drains_are_those_of_drives_that_are_stuck():
    s = Bench().s
    assert low_drains(s, ALL_OFF ^ 0b1000010, 48_000) == 2
    assert low_drains(s, ALL_OFF ^ 0b0000010, JUDGED_MV - 1) == 0
    assert low_drains(s, 0, JUDGED_MV - 1) == 0
    assert low_drains(s, 0, JUDGED_MV) == 0b111111


def test_drains_say_nothing_with_the_door_open():
    b = Bench()
    b.shut = 0
    b.drains = 0
    assert b.run(500) == 0
    assert b.s[senses.BLOCKED] == 0


def test_drives_that_nobody_watches_are_not_judged():
    b = Bench()
    b.drains = ALL_OFF ^ 0b1000000
    assert b.run(500) == 0


def test_predicted_amperes_are_those_of_the_drives_that_are_on():
    limits = build(NoReflexes)
    assert predicted(limits, 0) == 0
    assert predicted(limits, 0b11) == 15_000
    assert predicted(limits, 0b1001) == -1  # nobody said what 'strong' draws


def test_sixteen_drains_are_read_back_and_a_winding_is_held_by_pwm_from_drive_25_on():
    class Edges(Wiring):
        COILS = tuple([("coil." + str(drive), "snap", 20, 30, 60, drive) for drive in (1, 15, 16, 17, 24)])
        FLIPPERS = ()

    assert watched(Edges) == 1 | 1 << 14 | 1 << 15

    class Held(Wiring):
        COILS = (
            ("strong", "flipper", 40, 60, 10, 1),
            ("hold", "flipper", -1, 0, 0, 24),
            ("strong.two", "flipper", 40, 60, 10, 2),
            ("hold.two", "flipper", -1, 0, 0, 25),
        )

    assert watched(Held) == 1


def test_another_drain_that_stays_high_is_counted_from_its_own_beginning():
    b = Bench()
    b.sent = 0b011
    b.drains = ALL_OFF ^ 0b010
    assert b.run(senses.HIGH_FOR) == 0
    b.drains = ALL_OFF ^ 0b001
    assert b.run(senses.HIGH_FOR) == 0
    assert b.s[senses.BLOCKED] == 0
    assert b.run(1) == 0
    assert b.s[senses.DEAD] == 0b010


def test_another_drain_that_stays_low_is_counted_from_its_own_beginning():
    b = Bench()
    b.drains = ALL_OFF ^ 0b001
    assert b.run(senses.LOW_FOR) == 0
    b.drains = ALL_OFF ^ 0b010
    assert b.run(senses.LOW_FOR) == 0
    assert b.run(1) == senses.LOCKED_ON
    assert b.s[senses.LOCKED] == 0b010


def test_of_several_low_drains_that_one_is_locked_on_which_was_low_all_the_time():
    b = Bench()
    b.drains = ALL_OFF ^ 0b011
    assert b.run(20) == 0
    b.drains = ALL_OFF ^ 0b010
    assert b.run(senses.LOW_FOR - 20) == 0
    assert b.run(1) == senses.LOCKED_ON
    assert b.s[senses.LOCKED] == 0b010
