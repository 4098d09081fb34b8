"""Rows 11, 12, 14, 15 and 19 at small counts, and that each of them can fail: a planted fault is reported."""

import shutil
import subprocess

import pytest

from boards.unix import main
from boards.unix.trials import loopback_link, soak
from boards.unix.trials.tally import Tally
from firmware.base import trace
from firmware.devices.coils import Coils
from firmware.link import frames
from hil import games, micropython
from hil.bench import faults
from hil.bench.faults import Fault
from hil.bench.targets import wire
from hil.bench.targets.linked import identity
from hil.benchmarks import reliability
from hil.benchmarks.reliability import MICROPYTHON, PROCESS, tiers, trials

TIERS = [PROCESS, pytest.param(MICROPYTHON, marks=pytest.mark.micropython)]


def planted(tmp_path, row, count, file, old, new):
    """A row under MicroPython, on firmware with one change."""
    return trials.there(row, count, 1, faults.inject(Fault("", "", file, old, new), tmp_path))


@pytest.mark.parametrize("tier", TIERS)
@pytest.mark.slow
def test_traces_are_the_same_when_the_clock_wraps(tier):
    result = reliability.run(12, 40, 1, tier)[2]
    assert result.passed, result
    assert result.counts["wraps of the clock"] == 32
    assert result.counts["coil commands"] > 40


@pytest.mark.micropython
def test_an_agenda_that_does_not_wrap_fails_row_12_under_micropython(tmp_path):
    old = "if self.first < 0 or 0 < (self.first - due) & MASK < HALF:"
    new = "if self.first < 0 or self.first > due:"
    assert not planted(tmp_path, 12, 20, "firmware/base/agenda.py", old, new).passed


@pytest.mark.micropython
@pytest.mark.slow
def test_heap_does_not_grow_over_a_soak():
    result = reliability.run(14, 1, 1, MICROPYTHON)[2]
    assert result.passed, result
    assert result.ran > 10_000


@pytest.mark.micropython
@pytest.mark.slow
def test_a_chain_that_grows_fails_row_14(tmp_path):
    old = "        self._at = at = at + 3\n"
    new = old + f"        if kind == {trace.COIL}:\n            self.chain = (getattr(self, 'chain', 0), 1)\n"
    assert not planted(tmp_path, 14, 1, "firmware/base/ring.py", old, new).passed


def test_a_heap_that_grows_late_is_seen():
    tally = Tally()
    soak.judge(tally, "game", [1000, 1010, 1000, 1010, 1020, 4000])
    assert tally.failures == 1


@pytest.mark.parametrize("tier", TIERS)
@pytest.mark.slow
def test_no_save_is_made_while_a_coil_is_on(tier):
    result = reliability.run(11, 1_500, 1, tier)[2]
    assert result.passed, result
    assert result.counts["saves made"] > 50


def test_saving_beside_a_coil_fails_row_11(monkeypatch):
    monkeypatch.setattr(Coils, "is_idle", lambda coils: True)
    assert "is on" in reliability.run(11, 1_500, 1)[2].wrong[0]


@pytest.mark.micropython
def test_saving_beside_a_coil_fails_row_11_under_micropython(tmp_path):
    old = "return not self._waiting and not self.limiter.driven(self._timers.now)"
    assert not planted(tmp_path, 11, 1_500, "firmware/devices/coils.py", old, "return True").passed


@pytest.mark.micropython
def test_nothing_is_allocated_in_the_hot_path():
    result = reliability.run(15, 10_000, 1, MICROPYTHON)[2]
    assert result.passed, result
    assert result.counts["steps of the console"] >= 1_000
    assert result.counts["coils fired by reflexes"] > 100


@pytest.mark.micropython
@pytest.mark.parametrize(
    ("file", "old"),
    [("firmware/devices/scan.py", "limiter.tick(now)"), ("firmware/steps.py", "self.reflexes.renew()")],
)
def test_an_allocation_fails_row_15(tmp_path, file, old):
    result = planted(tmp_path, 15, 10_000, file, old, f"{old}; [self]")
    assert not result.passed
    assert "allocate" in result.wrong[0]


@pytest.mark.micropython
def test_both_pythons_leave_the_same_traces():
    result = reliability.run(16, 60, 1)[2]
    assert result.passed, result
    assert (result.ran, result.counts["different traces"]) == (60, 60)


@pytest.mark.micropython
def test_rules_that_differ_fail_row_16(tmp_path):
    fault = Fault("", "", "firmware/devices/switches.py", '("target", 4, 20)', '("target", 5, 20)')
    result = tiers.compare(60, 1, faults.inject(fault, tmp_path))[0]
    assert result.ran == 60
    assert not result.passed


@pytest.mark.micropython
def test_a_process_that_ends_early_fails_row_16(tmp_path):
    fault = Fault("", "", "firmware/cabinet/match.py", '"""The match', 'raise ValueError\n"""The match')
    result = tiers.compare(5, 1, faults.inject(fault, tmp_path))[0]
    assert result.failures >= 5


@pytest.mark.parametrize("tier", TIERS)
def test_a_board_that_is_not_fit_does_not_start(tier):
    result = reliability.run(19, 40, 1, tier)[2]
    assert result.passed, result
    assert result.counts["stuck output"] == result.counts["sound board"] == 10


def test_a_self_test_that_finds_nothing_fails_row_19(monkeypatch):
    monkeypatch.setattr(main.self_test, "find_faults", lambda subject: [])
    result = reliability.run(19, 8, 1)[2]
    assert result.failures == 12


def test_a_self_test_that_always_finds_something_fails_row_19(monkeypatch):
    monkeypatch.setattr(
        main.self_test, "find_faults", lambda subject: [("x", 0, "output x is on, the clock, its sum")]
    )
    assert "it is fit, and did not start" in reliability.run(19, 4, 1)[2].wrong[-1]


@pytest.mark.micropython
def test_a_device_that_starts_all_the_same_fails_row_19(tmp_path):
    old = "        if self.board.reason:\n"
    assert not planted(tmp_path, 19, 4, "firmware/link/device.py", old, "        if False:\n").passed


@pytest.mark.micropython
def test_a_process_with_one_bit_of_its_firmware_flipped_energises_nothing(tmp_path):
    game = games.load("kit_room")
    told = identity(b"", game).hex()
    for name in ("firmware", "boards"):
        shutil.copytree(micropython.ROOT / name, tmp_path / name)
    assert real_time_start(tmp_path, told) == ""
    bad = tmp_path / "firmware" / "play" / "score.py"
    data = bytearray(bad.read_bytes())
    data[5] ^= 1  # in its docstring: what runs would go on as if nothing were wrong
    bad.write_bytes(data)
    assert "its sum is another" in real_time_start(tmp_path, told)


def real_time_start(root, told):
    """What a fresh process in `root` says to a host that asks for a run in real time."""
    main = root / "boards" / "unix" / "main.py"
    command = [micropython.find(), str(main), "--game", "kit_room", "--files", told]
    ends = loopback_link.LoopbackLink(None)
    asked = b"".join(
        (
            ends.wire(frames.HELLO, bytes(16) + bytes([frames.PROTOCOL])),
            ends.wire(frames.START, bytes([frames.REAL_TIME]) + (1).to_bytes(4, "little")),
        )
    )
    done = subprocess.run(command, input=asked, capture_output=True, timeout=60, cwd=root)
    answers = [wire.unpack(chunk) for chunk in done.stdout.split(b"\0") if chunk]
    assert answers[0][1] == frames.WELCOME
    return "".join(payload[1:].decode() for _, kind, payload in answers if kind == frames.FAULT)
