"""The board's callback, run as Python on a modelled chip: guard, door, drains, and what is never driven."""

import ast
import importlib
import re
from math import log
from pathlib import Path
from typing import Any

import pytest
from board_bench import CHIPS, READS_HIGH_MV, Bench

import boards.pico_matrix
from boards.pico_matrix import pins
from boards.pico_matrix.native import VIPER
from firmware.base.trace import Trace
from firmware.devices import supply_monitor
from firmware.devices.fault_reporter import FaultReporter
from firmware.devices.native import limiter, senses
from firmware.games.honey_flow import wiring
from firmware.play.faults import Faults
from hil.electrical.circuit import values

BOARD = Path(boards.pico_matrix.__path__[0])
COILS = [row[0] for row in wiring.COILS]
KNOCKER = COILS.index("knocker")
HOLD = COILS.index("flipper.left.hold")
SPARE = COILS.index("spare")
BUTTON = [row[0] for row in wiring.SWITCHES].index("button.left")
OFF_TIME = "the callback does not keep time with the chip's timer"

on_both_chips = pytest.mark.parametrize("chip", CHIPS, indirect=True)


@pytest.fixture
def bench(chip: Any) -> Bench:
    made = Bench(chip)
    made.enable()
    return made


@on_both_chips
def test_a_coil_is_driven_for_its_time_and_the_guard_is_fed_each_millisecond(bench: Bench) -> None:
    fed = bench.feeds
    assert bench.fire(KNOCKER, 30) == 0
    on = 0
    for _ in range(60):
        bench.run(1)
        on += bench.outputs == bench.drive(KNOCKER)
    assert on == 29  # asked for between two turns: on from the next one to the one at its end
    assert bench.outputs == 0
    assert bench.feeds == fed + 60
    assert bench.supply_feeds >= 60
    assert bench.watchdog > 300


@on_both_chips
def test_nothing_is_fed_before_the_chain_was_read_back_and_the_door_seen_shut(chip: Any) -> None:
    bench = Bench(chip)
    bench.cells[bench.isr.ENABLED] = 1
    bench.cells[bench.isr.SUPPLY_ON] = 1
    bench.run(senses.SHUT_FOR)
    assert (bench.feeds, bench.supply_feeds) == (0, 0)
    bench.run(5)
    assert bench.feeds


@on_both_chips
def test_an_open_door_drops_drives_feed_and_lease_and_a_shut_one_gives_them_back(bench: Bench) -> None:
    bench.renew()
    assert bench.limits[limiter.ARMED]
    bench.fire(HOLD, -1)
    bench.run(5)
    assert bench.outputs == bench.drive(HOLD)
    bench.shut = False
    bench.run(1)
    assert bench.outputs == 0
    fed = bench.feeds
    for _ in range(300):
        bench.renew()  # the rules go on, as they do
        bench.run(1)
        assert bench.outputs == 0
        assert not bench.limits[limiter.ARMED]
    assert bench.feeds == fed
    assert bench.fault == ""
    bench.shut = True
    bench.run(250)
    bench.renew()
    bench.run(1)
    assert bench.limits[limiter.ARMED]
    assert bench.feeds > fed


def test_a_flipper_held_up_falls_with_the_door_and_stays_down_when_it_shuts(bench: Bench) -> None:
    bench.renew()
    bench.buttons = 1  # direct input 1
    bench.run(20)
    assert bench.limits[limiter.DRIVEN] & bench.drive(HOLD)
    bench.shut = False
    bench.run(10)
    assert bench.limits[limiter.DRIVEN] == 0
    bench.shut = True
    for _ in range(300):
        bench.renew()
        bench.run(1)
        assert bench.outputs == 0


@on_both_chips
def test_an_enable_that_stays_without_feed_stops_everything(bench: Bench) -> None:
    bench.enable_stuck = True
    bench.cells[bench.isr.ENABLED] = 0
    bench.run(senses.DROP_WITHIN + 2)
    assert bench.fault == "the coil enable stays on without its feed"
    supply, watchdog = bench.supply_feeds, bench.watchdog
    bench.run(100)
    assert (bench.supply_feeds, bench.watchdog) == (supply, watchdog)


@on_both_chips
@pytest.mark.sampled(12)
@pytest.mark.parametrize(
    ("us", "fault"), [(910, ""), (1090, ""), (890, OFF_TIME), (1110, OFF_TIME), (2000, OFF_TIME)]
)
def test_a_callback_that_is_called_at_another_rate_stops_everything(
    bench: Bench, us: int, fault: str
) -> None:
    """For as long as it runs: each window of 64 turns is compared, here after minutes."""
    bench.run(20_000)
    bench.turn_us = us
    bench.fire(HOLD, -1)
    bench.run(2 * 64)
    assert bench.fault == fault
    assert bool(bench.outputs) == (not fault)
    fed = bench.feeds
    bench.run(100)
    assert (bench.feeds == fed) == bool(fault)


@on_both_chips
def test_a_save_that_masks_interrupts_with_the_enable_dropped_is_no_fault_of_the_clock(bench: Bench) -> None:
    bench.cells[bench.isr.ENABLED] = 0
    bench.run(1)
    bench.timer_us += 200_000
    bench.run(1)
    bench.cells[bench.isr.ENABLED] = 1
    bench.run(200)
    assert bench.fault == ""
    bench.timer_us += 20_000  # the same with coils enabled
    bench.run(64)
    assert bench.fault == OFF_TIME


@on_both_chips
def test_a_coil_without_a_declared_load_is_never_driven_and_is_reported_when_asked_for(bench: Bench) -> None:
    assert bench.drive(SPARE) & bench.senses[senses.BLOCKED]
    reporter = FaultReporter(bench.supply, bench.limits)
    faults = Faults(Trace(8))
    reporter.report(faults, True)
    assert faults.count == 0
    assert bench.fire(SPARE, 30) == 0  # the rules play on
    for _ in range(40):
        bench.run(1)
        assert bench.outputs == 0
        reporter.report(faults, True)
    assert (faults.count, faults.name(0), faults.numbers(0)[:2]) == (1, "coil_undeclared", (SPARE, 1))
    assert bench.fire(KNOCKER, 30) == 0
    bench.run(2)
    assert bench.outputs == bench.drive(KNOCKER)


def test_heat_and_rest_of_real_pulses_outlive_new_runs(bench: Bench) -> None:
    """Runs begun anew every 33 ms: a coil gets no more on-time than in one run."""
    template = list(bench.limits)
    longest = bench.limits[limiter.HEAD + KNOCKER * limiter.COIL + limiter.LONGEST]
    budget = bench.limits[limiter.HEAD + KNOCKER * limiter.COIL + limiter.BUDGET] // limiter.UNIT
    turns, on = 33 * 400, 0
    for turn in range(turns):
        if turn % 33 == 0:
            bench.limiter().off_all()
            bench.limiter().restart(template)
        bench.fire(KNOCKER, longest)
        bench.cells[bench.isr.ALIVE] = 0
        now = (bench.cells[bench.isr.NOW] + 1) & 0x3FFFFFFF
        bench.cells[bench.isr.NOW] = now
        on += bool(limiter.serve(bench.limits, now))
    assert 0 < on < budget // 2 + turns * 5 // 100


@on_both_chips
def test_a_locked_on_drive_stops_everything_within_its_time(bench: Bench) -> None:
    bench.low = bench.drive(KNOCKER)
    bench.run(senses.LOW_FOR + 1)
    assert bench.fault == "a drive is stuck on"
    assert bench.senses[senses.LOCKED] == bench.drive(KNOCKER)
    fed = bench.feeds
    bench.run(20)
    assert (bench.feeds, bench.outputs) == (fed, 0)


def test_a_drive_that_does_not_switch_is_given_up_and_the_others_go_on(bench: Bench) -> None:
    bench.high = bench.drive(KNOCKER)
    bench.fire(KNOCKER, 30)
    bench.run(senses.HIGH_FOR + 3)
    assert bench.outputs == 0
    assert bench.senses[senses.DEAD] == bench.drive(KNOCKER)
    assert bench.fault == ""
    bumper = COILS.index("bumper.1")
    bench.fire(bumper, 20)
    bench.run(2)
    assert bench.outputs == bench.drive(bumper)
    bench.run(500)
    bench.fire(KNOCKER, 30)
    bench.run(2)
    assert bench.outputs == 0


@on_both_chips
def test_a_low_5_volt_rail_drops_drives_and_feed(bench: Bench) -> None:
    bench.fire(HOLD, -1)
    bench.run(3)
    bench.logic_mv = 4300
    bench.run(70)
    fed = bench.feeds
    bench.run(50)
    assert (bench.outputs, bench.feeds) == (0, fed)


@on_both_chips
def test_a_broken_chain_and_silent_rules_end_all_feeds(bench: Bench) -> None:
    bench.chain_broken = True
    bench.fire(HOLD, -1)
    bench.run(3)
    assert bench.fault == "the drive chain reads back wrong"
    fed = (bench.feeds, bench.supply_feeds, bench.watchdog)
    bench.run(50)
    assert (bench.feeds, bench.supply_feeds, bench.watchdog) == fed


def test_silent_rules_are_a_fault_after_two_seconds(bench: Bench) -> None:
    bench.alive = False
    bench.run(2001)
    assert bench.fault == "the rules fell silent"


@on_both_chips
def test_an_error_in_the_callback_shifts_out_zeros_and_ends_all_feeds(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.fire(HOLD, -1)
    bench.run(2)
    assert bench.outputs

    def broken(*_given: Any) -> None:
        raise ValueError("planted")

    fed = bench.feeds
    with monkeypatch.context() as planted:
        planted.setattr(bench.isr, "serve", broken)
        bench.isr.bind_state(bench.cells)
        bench.run(1)
    bench.isr.bind_state(bench.cells)
    assert bench.outputs == 0
    bench.run(20)
    assert bench.feeds == fed
    assert bench.fault == "the callback raised an error"


def test_guard_and_supply_are_fed_in_one_place_each_and_the_watchdog_in_two() -> None:
    fed = re.compile(r"r\[_FLIP\]|r\[_WATCHDOG\]|registers.load|GUARD_FEED|SUPPLY_FEED")
    found = [
        (path.name, line.strip())
        for path in sorted(BOARD.glob("*.py"))
        for line in path.read_text().splitlines()
        if fed.search(line) and path.name != "pins.py"
    ]
    assert found == [
        ("isr.py", "_SUPPLY_FEED = const(1 << 13)"),
        ("isr.py", "ptr32(r[_WATCHDOG])[0] = r[_LOAD]"),
        ("isr.py", "ptr32(r[_FLIP])[0] = _SUPPLY_FEED"),
        ("isr.py", "ptr32(r[_FLIP])[0] = _FEED"),
        (
            "restarts.py",
            "_registers.load = chip.WATCHDOG_LOAD",
        ),  # where coils are refused, or no callback runs
    ]


@pytest.mark.parametrize("volts", [12, 24, 36, 48, 60])
def test_a_drive_that_is_stuck_on_is_found_in_its_time_at_every_voltage(chip: Any, volts: int) -> None:
    bench = Bench(chip)
    bench.mains_mv = volts * 1000
    bench.enable()
    bench.run(300)
    assert bench.fault == ""
    bench.low = bench.drive(KNOCKER)
    bench.run(senses.LOW_FOR + 3)
    assert bench.fault == "a drive is stuck on"
    assert bench.senses[senses.LOCKED] == bench.drive(KNOCKER)


@pytest.mark.slow
@pytest.mark.parametrize(
    "volts", [24, *(pytest.param(volts, marks=pytest.mark.slow) for volts in (12, 36, 48, 60))]
)
def test_a_bus_that_falls_is_no_fault_however_it_falls(chip: Any, volts: int) -> None:
    """A run that ends; then the supply is switched off in play, with the main loop at work and stalled."""
    bench = Bench(chip)
    bench.mains_mv = volts * 1000
    bench.enable()
    bench.disable()
    bench.run(3000)
    assert (bench.fault, bench.bus_mv < 1) == ("", True)
    bench.enable()
    bench.run(500)
    bench.mains_mv = 0
    for turn in range(40):
        bench.renew()
        bench.fire(KNOCKER, 30)
        bench.alive = turn % 4 != 0  # the main loop stands still for a second
        bench.run(1000)
        assert bench.fault == "", turn
    assert bench.bus_mv < READS_HIGH_MV / 4


def test_a_falling_bus_would_be_a_fault_if_nobody_looked_at_its_volts(bench: Bench) -> None:
    """The control: the model's drains do go low on their way down."""
    bench.senses[senses.JUDGED_MV] = 0
    bench.disable()
    bench.run(3000)
    assert bench.fault == "a drive is stuck on"
    assert bench.senses[senses.LOCKED] == bench.senses[senses.WATCHED]


@pytest.mark.parametrize("volts", [12, 24, 48, 60])
def test_all_drives_stuck_on_at_once_are_found(chip: Any, volts: int) -> None:
    bench = Bench(chip)
    bench.mains_mv = volts * 1000
    bench.enable()
    bench.low = 0xFFFF
    bench.run(senses.LOW_FOR + 3)
    assert bench.fault == "a drive is stuck on"


def test_a_drain_is_judged_well_above_its_threshold(bench: Bench) -> None:
    assert bench.judged_mv >= 1.5 * READS_HIGH_MV
    falling_ms = 1000 * values.bus_seconds() * log(bench.judged_mv / READS_HIGH_MV)
    assert falling_ms > senses.LOW_FOR  # what is sampled every other millisecond is sampled in time


@on_both_chips
def test_the_callback_reads_each_voltage_within_four_milliseconds(bench: Bench) -> None:
    bench.mains_mv = 31_000
    bench.bus_mv = 31_000.0
    bench.logic_mv = 4800
    bench.run(5)
    assert abs(bench.cells[bench.isr.BUS_MV] - 31_000) <= 31
    assert abs(bench.cells[bench.isr.LOGIC_MV] - 4800) <= 2
    assert bench.cells[bench.isr.DRAWN_MA] == 0


def test_the_callback_is_flat(chip: Any) -> None:
    """No function of the callback but the first calls another: each such call takes 200 bytes of stack."""
    native = [Path(importlib.import_module(name).__file__) for name in VIPER]
    defined = {}
    for path in [*native, BOARD / "isr.py"]:
        for node in ast.parse(path.read_text()).body:
            if isinstance(node, ast.FunctionDef):
                calls = [each.func.id for each in ast.walk(node) if isinstance(each, ast.Call)]
                defined[node.name] = [name for name in calls if name not in ("ptr32", "int")]
    used = [
        "gather",
        "watch_clock",
        "sense",
        "advance",
        "serve",
        "scan",
        "contact",
        "drive",
        "feed",
        "silence",
    ]
    assert set(defined.pop("control_isr")) == set(used)
    assert {name: defined[name] for name in used} == {name: [] for name in used}


@on_both_chips
def test_the_held_pair_is_the_compare_register_of_slice_7(bench: Bench, chip: Any) -> None:
    bench.cells[bench.isr.HOLD_LEVEL] = 655
    for drives, level in ((1 << 24, 655), (1 << 25, 655 << 16), (0, 0), (3 << 24, 655 << 16 | 655)):
        bench.isr.drive(bench.cells, drives)
        assert chip.words[bench.at.held] == level
    bench.isr.silence(bench.isr.registers)
    assert chip.words[bench.at.held] == 0


def test_the_callback_s_numbers_are_those_of_the_board(chip: Any) -> None:
    isr = importlib.import_module("boards.pico_matrix.isr")
    assert isr._LATCH == 1 << pins.DRIVE_LATCH
    assert isr._FEED == 1 << pins.GUARD_FEED
    assert isr._SUPPLY_FEED == 1 << pins.SUPPLY_FEED
    assert isr._GUARD_STATE == 1 << pins.GUARD_STATE
    assert isr._INTERLOCK == 1 << pins.INTERLOCK
    assert (pins.COIL_VOLTS, pins.LOGIC_VOLTS, pins.COIL_AMPERES) == (26, 27, 28)  # channels 0, 1, 2
    found = isr.FAULTS[isr.SENSED + 1 : isr._OFF_TIME]
    assert len(found) == supply_monitor.OVERDRAWN
    assert isr.FAULTS[isr._OFF_TIME] == OFF_TIME
    assert len(isr.FAULTS) == isr.TOO_HIGH + 1
    assert isr.SENSED + senses.LOCKED_ON == isr.STUCK_ON
    assert found[senses.LOCKED_ON - 1] == "a drive is stuck on"
    assert found[senses.ENABLE_STUCK - 1] == "the coil enable stays on without its feed"
    assert found[supply_monitor.OVERDRAWN - 1] == "coil current flows that nobody asked for"


def test_only_the_callback_s_last_step_feeds_the_guard() -> None:
    found = []
    for path in sorted(BOARD.glob("*.py")):
        if path.name != "pins.py":
            lines = path.read_text().splitlines()
            found += [line.strip() for line in lines if re.search(r"\b_FEED\b|GUARD_FEED\b", line)]
    assert found == ["_FEED = const(1 << 11)", "ptr32(r[_FLIP])[0] = _FEED"]
