"""What a board senses of itself, and what it does about it."""

from senses_rig import ALL_OFF, JUDGED_MV, Bench, Wiring

from firmware.devices import supply_monitor
from firmware.devices.native import senses
from firmware.devices.native.senses import DOOR, GUARD, LOGIC, sense
from firmware.devices.supply_monitor import (
    OVERDRAWN,
    undeclared,
    watched,
)


def test_coils_wait_until_the_door_was_seen_shut():
    s = supply_monitor.new(JUDGED_MV)
    for ms in range(senses.SHUT_FOR + 1):
        assert s[senses.WITHHELD] & DOOR, ms
        sense(s, ALL_OFF, 0, 0, 0, 1, 0)
    assert s[senses.WITHHELD] == 0


def test_an_open_door_withholds_the_coils_at_once_and_gives_them_back_later():
    b = Bench()
    b.shut = 0
    b.run(1)
    assert b.s[senses.WITHHELD] == DOOR
    b.shut = 1
    b.run(senses.SHUT_FOR)
    assert b.s[senses.WITHHELD] == DOOR
    b.run(1)
    assert b.s[senses.WITHHELD] == 0


def test_an_enable_that_does_not_come_with_the_feed_withholds_the_coils():
    b = Bench()
    b.fed = b.enabled = 0
    b.run(100)
    b.fed = 1
    b.run(senses.ENABLE_WITHIN)
    assert b.s[senses.WITHHELD] == 0
    b.run(1)
    assert b.s[senses.WITHHELD] == GUARD
    b.enabled = 1
    b.run(1)
    assert b.s[senses.WITHHELD] == 0


def test_an_enable_that_stays_without_feed_is_a_fault():
    b = Bench()
    b.fed = 0
    assert b.run(senses.DROP_WITHIN) == 0
    assert b.run(1) == senses.ENABLE_STUCK


def test_an_enable_that_drops_eight_ms_after_the_feed_is_none():
    b = Bench()
    b.fed = 0
    assert b.run(8) == 0
    b.enabled = 0
    assert b.run(1000) == 0


def test_an_enable_that_is_there_at_power_up_is_a_fault():
    s = supply_monitor.new(JUDGED_MV)
    found = [sense(s, ALL_OFF, 0, 0, 1, 1, 0) for _ in range(senses.DROP_WITHIN + 1)]
    assert found[-1] == senses.ENABLE_STUCK
    assert not any(found[:-1])


def test_a_sensor_that_never_showed_a_current_is_not_believed():
    b = Bench()
    b.drains = ALL_OFF ^ 2
    found = 0
    for _ in range(10):
        b.see()
        found = found or b.run(20)
    assert found == senses.LOCKED_ON


def test_a_main_loop_that_stands_still_vouches_for_nothing():
    b = Bench()
    b.see(drawn=9000, predicted=10_000)
    b.run(supply_monitor.CALM_MS)
    b.drains = ALL_OFF ^ 2
    assert b.run(100) == senses.LOCKED_ON


def test_the_current_sensor_is_believed_from_three_amperes_on():
    for predicted_ma, found in ((3000, 0), (2999, senses.LOCKED_ON)):
        b = Bench()
        b.see(drawn=predicted_ma, predicted=predicted_ma)
        b.drains = ALL_OFF ^ 2
        seen = 0
        for _ in range(20):
            b.see(drawn=0, predicted=0)
            seen = seen or b.run(10)
        assert seen == found, predicted_ma


def test_a_low_bus_for_a_millisecond_starts_that_count_anew_too():
    b = Bench()
    b.sent = 0b101
    b.drains = ALL_OFF ^ 0b100
    for _ in range(3):
        b.bus = 48_000
        assert b.run(senses.HIGH_FOR) == 0
        b.bus = JUDGED_MV - 1
        assert b.run(1) == 0
    assert b.s[senses.BLOCKED] == 0


def test_a_bus_that_falls_below_for_a_millisecond_starts_the_count_anew():
    b = Bench()
    b.drains = ALL_OFF ^ 2
    for _ in range(20):
        b.bus = 48_000
        assert b.run(senses.LOW_FOR) == 0
        b.bus = JUDGED_MV - 1
        assert b.run(1) == 0


def test_a_board_with_another_circuit_judges_from_other_volts_on():
    b = Bench()
    b.s[senses.JUDGED_MV] = 26_000
    b.drains = ALL_OFF ^ 2
    b.bus = 25_999
    assert b.run(500) == 0
    b.bus = 26_000
    assert b.run(senses.LOW_FOR + 1) == senses.LOCKED_ON


def test_low_coil_volts_make_the_queue_wait():
    b = Bench()
    b.see(coil_mv=32_999)
    assert b.supply.volts_low
    b.see(coil_mv=33_000)
    assert not b.supply.volts_low


def test_a_low_5_volt_rail_withholds_the_coils_after_three_looks():
    b = Bench()
    for _ in range(2):
        b.see(logic_mv=4400)
        b.run(20)
    assert b.s[senses.WITHHELD] == 0
    b.see(logic_mv=4400)
    b.run(1)
    assert b.s[senses.WITHHELD] == LOGIC
    b.see(logic_mv=4600)
    b.run(1)
    assert b.s[senses.WITHHELD] == LOGIC
    b.see(logic_mv=4700)
    b.run(1)
    assert b.s[senses.WITHHELD] == 0


def test_more_amperes_than_are_driven_are_a_fault_after_three_looks():
    b = Bench()
    assert [b.see(drawn=6000) for _ in range(3)] == [0, 0, OVERDRAWN]
    b = Bench()
    assert [b.see(drawn=12_900, predicted=10_000) for _ in range(9)] == [0] * 9
    assert [b.see(drawn=13_100, predicted=10_000) for _ in range(3)] == [0, 0, OVERDRAWN]
    b = Bench()
    assert [b.see(drawn=90_000, predicted=-1) for _ in range(9)] == [0] * 9


def test_amperes_are_a_fault_only_from_three_looks_in_a_row_on():
    for between in ({"drawn": 1000}, {"drawn": 90_000, "predicted": -1}):
        b = Bench()
        assert [b.see(drawn=1001) for _ in range(2)] == [0, 0]
        assert b.see(**between) == 0
        assert [b.see(drawn=1001) for _ in range(3)] == [0, 0, OVERDRAWN]


def test_a_fifth_more_than_predicted_and_an_ampere_are_borne():
    b = Bench()
    assert [b.see(drawn=13_000, predicted=10_000) for _ in range(4)] == [0] * 4
    assert [b.see(drawn=13_001, predicted=10_000) for _ in range(3)] == [0, 0, OVERDRAWN]


def test_the_5_volt_rail_is_low_below_4500_and_good_from_4650_mv_on():
    for low, withheld in ((4500, 0), (4499, LOGIC)):
        b = Bench()
        for _ in range(3):
            b.see(logic_mv=low)
        b.run(1)
        assert b.s[senses.WITHHELD] == withheld, low
    for good, withheld in ((4649, LOGIC), (4650, 0)):
        b.see(logic_mv=good)
        b.run(1)
        assert b.s[senses.WITHHELD] == withheld, good
    b.see(logic_mv=4499)
    b.see(logic_mv=4650)
    for _ in range(2):
        b.see(logic_mv=4499)
    b.run(1)
    assert b.s[senses.WITHHELD] == 0


def test_a_coil_without_amperes_is_undeclared():
    class Half(Wiring):
        HEAT = (("kick", 10000, 4000, 2), ("eject", 0, 4000, 2), ("strong", 1, 4000, 2))

    # Drives of eject, hold, strong.two, hold.two and flash: bits 1, 4, 5, 24 and 16.
    assert undeclared(Half) == 1 << 1 | 1 << 4 | 1 << 5 | 1 << 24 | 1 << 16


def test_drives_beyond_the_read_backs_and_windings_that_are_held_by_pwm_are_not_watched():
    assert watched(Wiring) == 0b011011
