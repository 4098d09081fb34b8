"""Bring-up: what counts as having failed safe, and what does not."""

from firmware.devices import supply_monitor
from firmware.devices.bring_up import ALL, DOOR, DRIVES, RESET, WIRE, WORKED, BringUp
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.limiter_state import build
from firmware.devices.native import limiter as c
from firmware.devices.native import senses as n

BUS = 12_000


def state(withheld=0, fed=100, unfed=0):
    s = supply_monitor.new(9_000)
    s[n.WITHHELD] = withheld
    s[n.FED_MS] = fed
    s[n.UNFED_MS] = unfed
    return s


def worked(seen=0):
    trials = BringUp(3, seen)
    assert not trials.sample(state(), 0, BUS)
    return trials


def test_one_drive_alone_and_none_at_all():
    assert BringUp(3, 0).others() == ((1 << 26) - 1) & ~4
    assert BringUp(0, 0).others() == (1 << 26) - 1


def test_a_trial_counts_once_the_board_was_seen_to_work():
    trials = BringUp(3, 0)
    trials.sample(state(n.DOOR, 0, 100), 0, BUS)
    trials.sample(state(n.GUARD), 0, BUS)
    trials.restarted()
    assert trials.seen == 0
    assert trials.left() == "door, feed wire, reset"


def test_without_volts_on_the_bus_nothing_is_shown():
    trials = BringUp(3, 0)
    trials.sample(state(), 0, 5_000)
    trials.sample(state(n.DOOR, 0, 100), 0, 5_000)
    assert trials.seen == 0


def test_door_feed_wire_and_reset_each_count():
    trials = worked()
    assert trials.seen == WORKED
    trials.sample(state(n.DOOR, 0, 5), 0, BUS)
    assert trials.seen == WORKED  # the enable line has not had its time yet
    trials.sample(state(n.DOOR, 0, 40), 4, BUS)
    assert trials.seen == WORKED  # the drive is on still
    trials.sample(state(n.DOOR, 0, 40), 0, BUS)
    assert trials.seen == WORKED | DOOR
    trials.sample(state(n.GUARD), 0, BUS)
    assert trials.seen == WORKED | DOOR  # it did not work in between
    trials.sample(state(), 0, BUS)
    trials.sample(state(n.GUARD), 0, BUS)
    assert trials.left() == "reset"
    trials.restarted()
    assert trials.seen == WORKED | DOOR | WIRE | RESET
    assert trials.is_passed()
    assert ALL & trials.seen == ALL


def test_a_bus_of_more_than_15_volts_is_told_in_the_third_look_in_a_row():
    trials = worked()
    assert not trials.sample(state(), 0, 15_001)
    assert not trials.sample(state(), 0, 48_000)
    assert not trials.sample(state(), 0, 15_000)
    found = [trials.sample(state(), 0, 48_000) for _ in range(3)]
    assert found == [False, False, True]


class TwoCoils:
    SWITCHES = LAMPS = REFLEXES = FLIPPERS = ()
    COILS = (
        ("first", "snap", 20, 30, 60, 2),
        ("second", "snap", 20, 30, 60, 3),
        ("third", "snap", 20, 30, 60, 17),
    )


def test_a_confined_board_drives_and_judges_the_one_drive_alone_at_its_low_volts():
    s = supply_monitor.new(9_000)
    supply = supply_monitor.SupplyMonitor(s, 0b1110, 33_000, 1 << 16)
    limiter, template = CoilLimiter(TwoCoils), build(TwoCoils)
    BringUp(3, 0).confine(supply, limiter.state, template)
    assert s[n.BLOCKED] == DRIVES ^ 1 << 2
    assert s[n.WATCHED] == 1 << 2
    supply.sample(8_999, 5000, 0, 0)
    assert supply.volts_low
    supply.sample(9_000, 5000, 0, 0)
    assert not supply.volts_low
    assert [limiter.fire(coil, 20, 0) for coil in range(3)] == [c.KEPT_OFF, 0, c.KEPT_OFF]
    limiter.restart(template)
    assert [limiter.fire(coil, 20, 1000) for coil in range(3)] == [c.KEPT_OFF, 0, c.KEPT_OFF]


def test_feed_and_its_end_must_each_have_lasted_as_long_as_an_enable_line_takes():
    trials = BringUp(3, 0)
    trials.sample(state(fed=n.ENABLE_WITHIN), 0, BUS)
    assert trials.seen == 0
    trials.sample(state(fed=n.ENABLE_WITHIN + 1), 0, BUS)
    assert trials.seen == WORKED
    trials.sample(state(n.DOOR, 0, n.ENABLE_WITHIN), 0, BUS)
    assert trials.seen == WORKED
    trials.sample(state(n.DOOR, 0, n.ENABLE_WITHIN + 1), 0, BUS)
    assert trials.seen == WORKED | DOOR
