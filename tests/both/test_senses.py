"""What a board senses of itself, and what it does about it."""

from firmware.devices import supply_monitor
from firmware.devices.fault_reporter import FaultReporter
from firmware.devices.limiter_state import build
from firmware.devices.native import limiter as c
from firmware.devices.native import senses
from firmware.devices.native.senses import DOOR, GUARD, LOGIC, sense
from firmware.devices.supply_monitor import (
    OVERDRAWN,
    SupplyMonitor,
    low_drains,
    predicted,
    undeclared,
    watched,
)

JUDGED_MV = 9_000
ALL_OFF = 0xFFFF  # drains of a board with the bus up and every drive off


class Wiring:
    SWITCHES = ()
    LAMPS = ()
    COILS = (
        ("kick", "snap", 20, 30, 60, 1),
        ("eject", "queued", 30, 60, 300, 2),
        ("strong", "flipper", 40, 60, 10, 4),
        ("hold", "flipper", -1, 0, 0, 5),
        ("strong.two", "flipper", 40, 60, 10, 6),
        ("hold.two", "flipper", -1, 0, 0, 25),
        ("flash", "flasher", 60, 120, 180, 17),
    )
    REFLEXES = ()
    FLIPPERS = (("a", "b", "strong", "hold", 40), ("c", "d", "strong.two", "hold.two", 40))
    HEAT = (("kick", 10000, 4000, 2), ("eject", 5000, 4000, 2), ("hold", 120, 4000, 10))


class Bench:
    """A board that is fed, enabled, shut, with its bus up."""

    def __init__(self):
        self.s = supply_monitor.new(JUDGED_MV)
        self.supply = SupplyMonitor(self.s, 0b111111, 33_000, 0)
        self.bus = 48_000
        self.fed = self.enabled = self.shut = 1
        self.drains = ALL_OFF
        self.sent = 0
        self.see()
        assert self.run(250) == 0
        assert self.s[senses.WITHHELD] == 0

    def run(self, ms):
        """The first fault in so many ms, 0 when there was none."""
        for _ in range(ms):
            fault = sense(self.s, self.drains, self.sent, self.fed, self.enabled, self.shut, self.bus)
            if fault:
                return fault
        return 0

    def see(self, coil_mv=48_000, logic_mv=5000, drawn=0, predicted=0):
        return self.supply.sample(coil_mv, logic_mv, drawn, predicted)


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


def test_drains_say_nothing_on_a_bus_that_is_hardly_above_their_threshold():
    b = Bench()
    b.bus = JUDGED_MV - 1
    b.drains = ALL_OFF ^ 2
    assert b.run(500) == 0
    b.bus = JUDGED_MV
    assert b.run(senses.LOW_FOR) == 0
    assert b.run(1) == senses.LOCKED_ON


def test_a_bus_that_falls_below_for_a_millisecond_starts_the_count_anew():
    b = Bench()
    b.drains = ALL_OFF ^ 2
    for _ in range(20):
        b.bus = 48_000
        assert b.run(senses.LOW_FOR) == 0
        b.bus = JUDGED_MV - 1
        assert b.run(1) == 0


def test_all_drains_low_are_believed_from_the_same_volts_on_as_one():
    b = Bench()
    b.drains = ALL_OFF ^ 0b111111
    b.bus = JUDGED_MV - 1
    assert b.run(500) == 0
    b.bus = JUDGED_MV
    assert b.run(senses.LOW_FOR) == 0
    assert b.run(1) == senses.LOCKED_ON


def test_a_board_with_another_circuit_judges_from_other_volts_on():
    b = Bench()
    b.s[senses.JUDGED_MV] = 26_000
    b.drains = ALL_OFF ^ 2
    b.bus = 25_999
    assert b.run(500) == 0
    b.bus = 26_000
    assert b.run(senses.LOW_FOR + 1) == senses.LOCKED_ON


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


def test_predicted_amperes_are_those_of_the_drives_that_are_on():
    limits = build(NoReflexes)
    assert predicted(limits, 0) == 0
    assert predicted(limits, 0b11) == 15_000
    assert predicted(limits, 0b1001) == -1  # nobody said what 'strong' draws


class NoReflexes(Wiring):
    FLIPPERS = ()


def test_a_coil_without_amperes_is_undeclared():
    class Half(Wiring):
        HEAT = (("kick", 10000, 4000, 2), ("eject", 0, 4000, 2), ("strong", 1, 4000, 2))

    # Drives of eject, hold, strong.two, hold.two and flash: bits 1, 4, 5, 24 and 16.
    assert undeclared(Half) == 1 << 1 | 1 << 4 | 1 << 5 | 1 << 24 | 1 << 16


def test_drives_beyond_the_read_backs_and_windings_that_are_held_by_pwm_are_not_watched():
    assert watched(Wiring) == 0b011011


class Log:
    def __init__(self):
        self.told = []

    def report(self, name, detail=0):
        self.told.append((name, detail))


def test_what_is_sensed_is_reported_once_while_it_lasts():
    b = Bench()
    log = Log()
    reporter = FaultReporter(b.supply, build(NoReflexes))
    assert not reporter.report(log, True)
    b.shut = 0
    b.run(1)
    assert reporter.report(log, True)
    assert not reporter.report(log, True)
    b.shut = 1
    b.run(300)
    reporter.report(log, True)
    b.shut = 0
    b.run(1)
    reporter.report(log, True)
    assert log.told == [("interlock_open", 0)] * 2


def test_a_blocked_coil_is_reported_by_its_number():
    b = Bench()
    log = Log()
    reporter = FaultReporter(b.supply, build(NoReflexes))
    b.see(drawn=9000, predicted=10_000)
    b.drains = ALL_OFF ^ 2
    for _ in range(10):
        b.see()
        b.run(20)
    b.sent = 0b1000
    b.drains = ALL_OFF ^ 2
    b.run(20)
    reporter.report(log, True)
    reporter.report(log, True)
    assert log.told == [("coil_open", 1), ("coil_not_switched", 2)]


def test_low_coil_volts_are_reported_unless_the_door_explains_them():
    b = Bench()
    log = Log()
    reporter = FaultReporter(b.supply, build(NoReflexes))
    b.see(coil_mv=20_000)
    reporter.report(log, True)
    reporter.report(log, True)
    assert log.told == [("volts_low", 0)]
    b.see()
    reporter.report(log, True)
    b.shut = 0
    b.run(1)
    b.see(coil_mv=0)
    reporter.report(log, True)
    assert log.told == [("volts_low", 0), ("interlock_open", 0)]


def test_low_coil_volts_of_a_supply_that_is_switched_off_are_no_fault():
    b = Bench()
    log = Log()
    reporter = FaultReporter(b.supply, build(NoReflexes))
    b.see(coil_mv=0)
    for _ in range(3):
        reporter.report(log, False)
    assert log.told == []
    reporter.report(log, True)  # it was switched on, and nothing came
    assert log.told == [("volts_low", 0)]


def test_a_coil_of_an_unknown_load_is_reported_when_it_is_asked_for_and_once():
    s = supply_monitor.new(JUDGED_MV)
    limits = build(NoReflexes)
    s[senses.WITHHELD] = 0
    reporter = FaultReporter(SupplyMonitor(s, 0, 33_000, 0b1001), limits)
    log = Log()
    for driven in (0, 0b0010, 0b0001, 0b1001, 0b1001):
        limits[c.DRIVEN] = driven
        reporter.report(log, False)
    assert log.told == [("coil_undeclared", 0), ("coil_undeclared", 2)]


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
