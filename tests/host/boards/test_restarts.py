"""Three starts within a minute keep the coil supply off and say so; the watchdog."""

import importlib
from typing import Any

import pytest
from board_bench import CHIPS, Registers

from boards.pico_matrix import pins

WATCHDOG = 0x40058000
ENABLE = 1 << 30
MINUTE = 60_000


class Life:
    """Starts of one board: the scratch registers outlast a reset, and nothing outlasts a power cut."""

    def __init__(self, chip: Any) -> None:
        self.chip = chip
        self.starts = importlib.import_module("boards.pico_matrix.restarts")

    def start(self, ms: int) -> bool:
        """One start that lasts for so long, reported as the main loop does; whether it was refused."""
        locked = self.starts.record_boot()
        for up in range(0, ms + 1, 500):
            self.starts.record_uptime(up)
        assert isinstance(locked, bool)
        return locked

    def power_cut(self) -> None:
        self.chip.words.clear()


@pytest.mark.parametrize(
    ("lasted", "locked"),
    [
        ((5000, 5000, 5000), [False, False, True]),
        ((29_500, 30_000, 0), [False, False, True]),
        ((30_000, 30_000, 0), [False, False, False]),
        ((0, 0, 0, 0, 0), [False, False, True, True, True]),
        ((0, 0, MINUTE, 0), [False, False, True, False]),
        ((5000, MINUTE, 5000, 5000, 0), [False, False, False, False, True]),
        ((10 * MINUTE, 0, 0), [False, False, False]),
        ((10 * MINUTE, 0, 0, 0), [False, False, False, True]),
    ],
)
def test_the_third_start_within_a_minute_is_locked(
    chip: Any, lasted: tuple[int, ...], locked: list[bool]
) -> None:
    life = Life(chip)
    assert [life.start(ms) for ms in lasted] == locked


def test_a_power_cut_forgets(chip: Any) -> None:
    life = Life(chip)
    assert [life.start(1000) for _ in range(3)][-1]
    life.power_cut()
    assert not life.start(1000)
    assert not life.start(1000)
    assert life.start(1000)


@pytest.mark.parametrize("chip", CHIPS, indirect=True)
def test_the_watchdog_is_loaded_and_told_what_to_reset_before_it_is_enabled(chip: Any) -> None:
    order = []
    at = Registers(chip.name)
    chip.writes[at.watchdog + 4] = lambda value: order.append(("load", value))
    chip.writes[at.watchdog + 0x2000] = lambda value: order.append(("set", value))
    chip.writes[at.watchdog + 0x3000] = lambda value: order.append(("clear", value))
    chip.writes[at.reset_choice] = lambda value: order.append(("resets", value))
    starts = importlib.import_module("boards.pico_matrix.restarts")
    starts.begin_work()
    starts.feed()
    starts.disable_watchdog()
    older = chip.name == "RP2040"
    load = ("load", 0xFFFFFF if older else 0x7FFFFF)  # of 24 bits; an RP2040 counts twice as fast
    resets = (
        "resets",
        0x1FFFF & ~3 if older else 0x1FFFFFF & ~0xC,
    )  # psm.h: all stages but ROSC and XOSC (read)
    assert order == [load, resets, ("set", ENABLE), load, ("clear", ENABLE)]


@pytest.mark.parametrize(
    ("reason", "at_work", "told"),
    [(1, True, True), (2, True, False), (0, True, False), (1, False, False)],
)
def test_a_program_that_stood_still_is_told_from_one_that_was_ended(
    chip: Any, reason: int, at_work: bool, told: bool
) -> None:
    life = Life(chip)
    life.start(1000)
    life.starts.begin_work()
    if not at_work:
        life.starts.end_work()
    chip.words[WATCHDOG + 8] = reason
    life.start(1000)
    assert life.starts.stood_still() == told


def test_after_a_power_cut_nothing_stood_still_whatever_the_registers_hold(chip: Any) -> None:
    life = Life(chip)
    life.start(1000)
    life.starts.begin_work()
    chip.words[WATCHDOG + 0x0C] = 0x3FF12345
    chip.words[WATCHDOG + 8] = 1
    assert not life.start(0)
    assert not life.starts.stood_still()


@pytest.mark.parametrize("level", [0, 1])
def test_switching_off_leaves_both_feeds_at_their_level_since_a_change_would_enable_coils(
    chip: Any, level: int
) -> None:
    chip.pins_now = dict.fromkeys(range(30), level)
    importlib.import_module("boards.pico_matrix.safe_levels").set_safe_levels()
    for name, gpio, direction, _owner, safe, _what in pins.PINS:
        if direction == "out":
            kept = name in pins.FEEDS
            assert chip.pins[gpio] == (1, -1, level if kept else safe), name


def test_importing_the_board_puts_every_output_to_its_safe_level(chip: Any) -> None:
    importlib.import_module("boards.pico_matrix.board")
    for name, gpio, direction, _owner, level, _what in pins.PINS:
        if direction == "out":
            assert chip.pins[gpio] == (1, -1, level), name
        elif direction == "in":
            assert chip.pins[gpio] == (0, -1, -1), name
