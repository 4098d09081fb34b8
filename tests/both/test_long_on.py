"""A machine that stays on for longer than its count of milliseconds goes (12.4 days)."""

from boards.unix.trials import machines
from firmware.base import ticks

PERIOD = ticks.MASK + 1


def machine(age_ms):
    return machines.play("kit_room", 1, age_ms=age_ms).console


def press(console, name):
    console.contact(console.switch_names.index(name), 1)
    console.run_to(ticks.add(console.now, 300))


def test_time_goes_on_past_half_the_period_and_past_the_whole():
    for age in (PERIOD // 2 - 500, PERIOD - 500):
        console = machine(age)
        # As a board reckons it: the difference to when it began, negative after 6.2 days.
        assert console.run_to(ticks.diff(age + 1000, 0)) == (age + 1000) & ticks.MASK
        assert console.trace.now == console.now


def test_quiet_hours_keep_to_the_clock_for_weeks():
    ambient = machines.play("honey_flow", 1).console.ambient
    ambient._from.value, ambient._to.value = 12, 13
    ambient.set_time(20260131, 12 * 60, 0)
    for hour in range(1, 40 * 24):
        assert ambient.is_quiet((hour * 3600_000) & ticks.MASK) == (hour % 24 == 0)


def test_safe_mode_is_asked_for_after_power_on_only():
    console = machine(0)
    press(console, "pad.open")
    assert console.pad.safe
    console = machine(PERIOD - 400)
    press(console, "coin.1")
    console.run_to(100)
    press(console, "pad.open")
    assert not console.pad.safe
