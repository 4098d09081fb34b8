"""How often what is sensed is reported, and when it is no fault."""

from senses_rig import ALL_OFF, JUDGED_MV, Bench, Log, NoReflexes

from firmware.devices import supply_monitor
from firmware.devices.fault_reporter import FaultReporter
from firmware.devices.limiter_state import build
from firmware.devices.native import limiter as c
from firmware.devices.native import senses
from firmware.devices.supply_monitor import (
    SupplyMonitor,
)


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
