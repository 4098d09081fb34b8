"""The board's callback, run as Python on a modelled chip: guard, door, drains, and what is never driven."""

import importlib
import re
from pathlib import Path
from random import Random
from typing import Any

import pytest
from board_bench import Bench

import boards.pico_matrix
from firmware.devices import cells, senses
from firmware.games.honey_flow import wiring

BOARD = Path(boards.pico_matrix.__path__[0])
COILS = [row[0] for row in wiring.COILS]
KNOCKER = COILS.index("knocker")
HOLD = COILS.index("flipper.left.hold")
BUTTON = [row[0] for row in wiring.SWITCHES].index("button.left")


@pytest.fixture
def bench(chip: Any) -> Bench:
    made = Bench(chip)
    made.enable()
    return made


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


def test_nothing_is_fed_before_the_chain_was_read_back_and_the_door_seen_shut(chip: Any) -> None:
    bench = Bench(chip)
    bench.cells[bench.beat.ENABLED] = 1
    bench.cells[bench.beat.SUPPLY_ON] = 1
    bench.run(senses.SHUT_FOR)
    assert (bench.feeds, bench.supply_feeds) == (0, 0)
    bench.run(5)
    assert bench.feeds


def test_an_open_door_drops_drives_feed_and_lease_and_a_shut_one_gives_them_back(bench: Bench) -> None:
    bench.renew()
    assert bench.core[cells.ARMED]
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
        assert not bench.core[cells.ARMED]
    assert bench.feeds == fed
    assert bench.fault == ""
    bench.shut = True
    bench.run(250)
    bench.renew()
    bench.run(1)
    assert bench.core[cells.ARMED]
    assert bench.feeds > fed


def test_a_flipper_held_up_falls_with_the_door_and_stays_down_when_it_shuts(bench: Bench) -> None:
    bench.renew()
    bench.buttons = 1  # direct input 1
    bench.run(20)
    assert bench.core[cells.DRIVEN] & bench.drive(HOLD)
    bench.shut = False
    bench.run(10)
    assert bench.core[cells.DRIVEN] == 0
    bench.shut = True
    for _ in range(300):
        bench.renew()
        bench.run(1)
        assert bench.outputs == 0


def test_an_enable_that_stays_without_feed_stops_everything(bench: Bench) -> None:
    bench.enable_stuck = True
    bench.cells[bench.beat.ENABLED] = 0
    bench.run(senses.DROP_WITHIN + 2)
    assert bench.fault == "the coil enable stays on without its feed"
    supply, watchdog = bench.supply_feeds, bench.watchdog
    bench.run(100)
    assert (bench.supply_feeds, bench.watchdog) == (supply, watchdog)


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


def test_a_low_5_volt_rail_drops_drives_and_feed(bench: Bench) -> None:
    bench.fire(HOLD, -1)
    bench.run(3)
    for _ in range(3):
        bench.look.see(48_000, 4300, 0, -1)
    bench.alive = False  # no further look
    bench.run(1)
    fed = bench.feeds
    bench.run(50)
    assert (bench.outputs, bench.feeds) == (0, fed)


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
        planted.setattr(bench.beat, "step", broken)
        bench.run(1)
    assert bench.outputs == 0
    bench.run(20)
    assert bench.feeds == fed
    assert bench.fault == "the callback raised an error"


def test_the_guard_the_supply_and_the_watchdog_are_fed_in_one_place_each() -> None:
    found = [
        (path.name, line.strip())
        for path in sorted(BOARD.glob("*.py"))
        for line in path.read_text().splitlines()
        if re.search(r"sio\[7\]|0x40058000\)\[1\]|GUARD_FEED|SUPPLY_FEED", line) and path.name != "pins.py"
    ]
    assert found == [
        ("beat.py", "_SUPPLY_FEED = const(1 << 13)"),
        ("beat.py", "ptr32(0x40058000)[1] = 0xFFFFFF  # the watchdog"),
        ("beat.py", "sio[7] = _SUPPLY_FEED"),
        ("beat.py", "sio[7] = _FEED"),
    ]


def test_the_callback_senses_as_the_plain_module_does(chip: Any) -> None:
    """100,000 random milliseconds."""
    fast = importlib.import_module("boards.pico_matrix.sensing")
    rng = Random(1)
    one = senses.new()
    two = senses.new()
    at = chip.place(two)
    met: set[int] = set()
    drains, sent, fed, enabled, shut = 0xFFFF, 0, 1, 1, 1
    for _ in range(100_000):
        if rng.random() < 0.01:
            drains = 0xFFFF ^ rng.choice((0, 0, 1, 2, 6, 0x8000))
            sent = rng.choice((0, 0, 1, 3, 0x2000004))
        if rng.random() < 0.004:
            fed, enabled, shut = rng.random() < 0.8, rng.random() < 0.8, rng.random() < 0.9
        if rng.random() < 0.02:
            for each in (one, two):
                each[senses.WATCHED] = 0x80FF
                each[senses.SUPPLIED] = int(drains != 0)
                each[senses.CALM_FOR] = 30 * (sent == 0)
                each[senses.LOGIC_LOW] = int(drains == 0xFFFE and sent == 3)
        if rng.random() < 0.001:
            one[senses.BLOCKED] = two[senses.BLOCKED] = one[senses.OPEN] = two[senses.OPEN] = 0
        given = (drains, sent, int(fed), int(enabled), int(shut))
        found = senses.sense(one, *given)
        assert fast.sense(at, *given) == found
        assert one == two
        met.add(found)
    assert met == {0, senses.LOCKED_ON, senses.ENABLE_STUCK}
    assert one[senses.DEAD]
