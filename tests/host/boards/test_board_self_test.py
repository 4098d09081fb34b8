"""The self-test at start on a model of the chip: each fault keeps coils off and is named."""

import importlib
import sys
import time
from binascii import crc32
from types import SimpleNamespace
from typing import Any

import pytest
from board_bench import Bench

from firmware.devices.native import senses
from firmware.devices.self_test import LOOKS, WAIT_MS
from firmware.games.honey_flow import wiring

COILS = [row[0] for row in wiring.COILS]
KNOCKER = COILS.index("knocker")
MODULES = ("boards.pico_matrix.self_test", "firmware.devices.self_test")


class Start(Bench):
    """A board at start: its callback runs, nothing is enabled, the main loop has not begun."""

    def __init__(self, chip: Any, monkeypatch: pytest.MonkeyPatch, folder: Any) -> None:
        super().__init__(chip)
        self.alive = False
        self.stiff = True
        self.settle_bus()
        self.rate = 100  # per cent at which the callback comes
        self.late_looks = 0
        self.us = 5_000_000
        self.slept = 0
        monkeypatch.setattr(time, "ticks_us", lambda: self.us, raising=False)
        monkeypatch.setattr(time, "sleep_ms", self.sleep, raising=False)
        self.hardware = self.made()
        self.code = b"the code"
        self.recorded = crc32(self.code).to_bytes(4, "little")
        flash = importlib.import_module("boards.pico_matrix.flash")
        monkeypatch.setattr(flash, "code", lambda: self.code)
        monkeypatch.setattr(flash, "recorded_sum", lambda: self.recorded)

    def made(self) -> Any:
        """Hardware on these cells, without what its own set-up asks of the chip."""
        board = importlib.import_module("boards.pico_matrix.board")
        hardware = object.__new__(board.Hardware)
        hardware.cells, hardware.senses, hardware.supply = self.cells, self.senses, self.supply
        hardware.limiter = SimpleNamespace(state=self.limits, volts_low=False, off_all=lambda: None)
        hardware.spi = SimpleNamespace(write=self.write, write_readinto=self.write_readinto)
        return hardware

    def write(self, data: bytes) -> None:
        for byte in data:
            self.shift(byte)
        self.answers.clear()

    def write_readinto(self, data: bytes, back: bytearray) -> None:
        for i, byte in enumerate(data):
            self.shift(byte)
            back[i] = self.answers.pop(0)

    def sleep(self, ms: int) -> None:
        self.slept += ms
        self.us += ms * 1000
        rate = self.rate
        if self.late_looks:
            self.late_looks -= 1
            self.us += 30_000  # something else ran
        self.run(ms * rate // 100)

    def refusals(self) -> Any:
        found = importlib.import_module("boards.pico_matrix.self_test").refusals(self.hardware)
        assert (self.feeds, self.supply_feeds, self.outputs) == (0, 0, 0)
        return found


@pytest.fixture
def start(chip: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> Start:
    for name in MODULES:
        monkeypatch.delitem(sys.modules, name, raising=False)
    return Start(chip, monkeypatch, tmp_path)


def test_a_sound_board_passes_after_one_look_at_the_clock(start: Start) -> None:
    assert start.refusals() == []
    assert start.slept == WAIT_MS
    assert start.chain == 0


def test_a_clock_that_is_late_once_is_looked_at_again(start: Start) -> None:
    start.late_looks = 2
    assert start.refusals() == []
    assert start.slept == LOOKS * WAIT_MS


@pytest.mark.parametrize(
    ("rate", "words"),
    [
        (0, "the clock stands still"),
        (80, "the clock went 40 ms while 50 ms passed"),
        (130, "the clock went 65 ms"),
    ],
)
def test_a_wrong_clock_is_named(start: Start, rate: int, words: str) -> None:
    start.run(10)
    start.rate = rate
    (found,) = start.refusals()
    assert found[:2] == ("clock_wrong", 0)
    assert found[2].startswith(words)
    assert start.slept == LOOKS * WAIT_MS


def test_a_drain_that_is_low_is_named_when_the_coil_bus_is_up(start: Start) -> None:
    start.low = start.drive(KNOCKER)
    number = start.drive(KNOCKER).bit_length()
    assert start.refusals() == [
        ("coil_stuck_on", KNOCKER, f"output drive {number} is on and nobody switched it on")
    ]
    start.mains_mv = start.judged_mv - 40
    start.bus_mv = float(start.mains_mv)
    assert start.refusals() == []


def test_a_held_winding_beside_a_pwm_drive_is_not_judged(start: Start) -> None:
    start.low = 0xFFFF & ~start.senses[senses.WATCHED]
    assert start.refusals() == []


def test_every_watched_drive_is_found_at_once(start: Start) -> None:
    start.low = start.senses[senses.WATCHED]
    found = start.refusals()
    assert len(found) == start.low.bit_count()
    assert {start.drive(coil) for _, coil, _ in found} == {1 << i for i in range(16) if start.low >> i & 1}


def test_a_chain_that_gives_nothing_back_is_named_though_zeros_are_what_it_should_hold(start: Start) -> None:
    start.chain_broken = True
    start.run(10)
    assert start.cells[start.isr.VERIFIED] >= 2
    (found,) = start.refusals()
    assert found[0] == "chain_unread"
    assert "does not give back what is shifted into it" in found[2]


def test_a_chain_whose_far_end_reads_as_on_is_named(start: Start, chip: Any) -> None:
    whole = start.shift

    def stuck(byte: int) -> None:
        whole(byte)
        start.answers[-1] = 0xFF

    start.shift = stuck  # type: ignore[method-assign]
    chip.writes[start.at.spi + 8] = stuck
    (found,) = start.refusals()
    assert found[0] == "chain_unread"


def test_an_enable_that_is_on_without_a_feed_is_named(start: Start) -> None:
    start.enable_stuck = True
    assert start.refusals() == [("board_fault", 8, "the coil enable stays on without its feed")]


def test_a_scan_that_stands_still_is_named(start: Start, chip: Any) -> None:
    chip.reads[0x50000008] = lambda: 500
    assert start.refusals() == [("board_fault", 2, "the scan stands still")]


def test_a_flipped_bit_is_named(start: Start) -> None:
    start.code = b"the codE"
    (found,) = start.refusals()
    assert found == (
        "firmware_changed",
        0,
        "the firmware is not the one that was put here: its sum is another",
    )


def test_a_board_without_a_sum_is_not_trusted(start: Start) -> None:
    start.recorded = b""
    (found,) = start.refusals()
    assert found[0] == "no_firmware_sum"
    assert "its image has no record" in found[2]


def test_several_faults_are_all_named(start: Start) -> None:
    start.code = b"others"
    start.low = start.drive(KNOCKER)
    start.rate = 50
    assert [each[0] for each in start.refusals()] == ["coil_stuck_on", "clock_wrong", "firmware_changed"]


def test_what_was_found_fits_a_line_of_the_display_each(start: Start) -> None:
    fit = importlib.import_module("boards.pico_matrix.self_test")
    tests = importlib.import_module("firmware.devices.self_test")
    names = (tests.STUCK, tests.CLOCK, tests.FIRMWARE, fit.FAULT, fit.CHAIN, fit.NO_SUM)
    assert all(len(name) <= 16 for name in names), names


class Outputs:
    """What reaches lamps, displays and the sound box."""

    def __init__(self) -> None:
        self.told: list[Any] = []

    def __getattr__(self, name: str) -> Any:
        return lambda *given: self.told.append((name, *given))


def test_a_forbidden_board_drives_no_coil_and_still_shows_why(start: Start) -> None:
    board = sys.modules["boards.pico_matrix.board"]
    shows = Outputs()
    start.hardware.slow_outputs = shows
    start.hardware.fresh = lambda: None
    start.hardware.alive = lambda: None
    made = board.PicoBoard(start.hardware)
    made.forbid("planted")
    shows.told.clear()
    made.enable(True)
    start.run(500)
    assert (start.feeds, start.supply_feeds) == (0, 0)
    made.text(3, 5)
    made.lamp(1, 1)
    made.cue(4)
    assert shows.told == [("text", 3, 5), ("lamp", 1, 1), ("cue", 4)]
    made.all_off("over")
    assert made.reason == "planted"
    assert shows.told[3:] == [("dark",)]
    made.text(3, 5)
    made.lamp(1, 1)
    made.cue(4)
    assert shows.told[4:] == []


def test_a_bench_hears_the_reason_and_lock_step_goes_on(start: Start) -> None:
    main = sys.modules.get("boards.pico_matrix.main") or importlib.import_module("boards.pico_matrix.main")
    loopback_link = importlib.import_module("boards.unix.trials.loopback_link")
    frames = importlib.import_module("firmware.link.frames")
    start.code = b"others"
    found = start.refusals()
    machine = object.__new__(main.PicoMachine)
    machine.name, machine.settings, machine.hardware, machine.refusals = "x", (), start.hardware, found
    machine.identify = lambda nonce: bytes(32)
    started: list[int] = []
    machine.console = lambda seed, settings, board: started.append(seed)
    start.hardware.fresh = lambda: None
    start.hardware.slow_outputs = Outputs()
    for mode, words in ((frames.REAL_TIME, found[0][2]), (frames.LOCK_STEP, "")):
        ends = loopback_link.LoopbackLink(machine)
        ends.hello()
        ends.start(mode)
        assert ends.fault() == words
    assert len(started) == 1


def test_the_loop_of_a_refused_board_goes_on_after_a_fault_and_that_of_a_fit_one_ends(start: Start) -> None:
    main = importlib.import_module("boards.pico_matrix.main")
    turns = object.__new__(main.MainLoop)
    turns.hardware = start.hardware
    turns.standalone = None
    turns.device = SimpleNamespace(live=lambda: None, tick=lambda now: None)
    start.hardware.slow_outputs = SimpleNamespace(turn=lambda now: None)
    start.cells[start.isr.FAULT] = 2
    turns._machine = SimpleNamespace(
        refusals=[("board_fault", 2, "it")], alive=lambda: None, code=lambda: 0, bring_up=None
    )
    turns._led = SimpleNamespace(update=lambda now: None)
    turns.run_once()
    turns._machine.refusals = []
    with pytest.raises(main.HardwareFault, match="the scan stands still"):
        turns.run_once()
