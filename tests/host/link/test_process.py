"""Sessions over the link with a MicroPython process."""

import os
import signal
import time

import pytest

from firmware.base.errors import LinkError, UsageError
from hil import micropython
from hil.bench.targets.linked import LinkTarget
from hil.bench.targets.target import MachineStopped
from hil.benchmarks.reliability.bad_line import play
from hil.benchmarks.reliability.lost_host import levels


@pytest.fixture
def process(game, micropython_command):
    target = LinkTarget("micropython", game)
    yield target
    target.close()


def test_the_process_makes_the_trace_of_the_desk(process, contacts, desk_digest):
    assert play(process, contacts) == desk_digest


def test_a_process_that_is_killed_in_mid_run_is_invalid_in_bounded_time(process):
    process.start(1, {})
    process.advance(10)
    process.spawned.process.kill()
    began = time.monotonic()
    with pytest.raises(LinkError):
        step_by_step(process)
    assert time.monotonic() - began < 6


def step_by_step(target):
    for ms in range(20, 2000, 10):
        target.advance(ms)


def test_a_process_that_is_frozen_is_invalid_in_bounded_time(process):
    process.start(1, {})
    process.patience_s = 0.5
    process.spawned.process.send_signal(signal.SIGSTOP)
    began = time.monotonic()
    with pytest.raises(LinkError, match=r"nothing came from the device for 0\.5 s"):
        process.advance(20)
    assert time.monotonic() - began < 2
    process.spawned.process.send_signal(signal.SIGCONT)


@pytest.mark.micropython
def test_a_process_that_runs_another_game_is_invalid(game, changed_game):
    other = changed_game("\n# another line\n")
    target = LinkTarget("micropython", other)
    target._game = game
    with pytest.raises(LinkError, match="files are not those"):
        target.start(1, {})
    target.close()


@pytest.mark.micropython
def test_a_game_in_a_folder_of_its_own_runs(changed_game, contacts, desk_digest):
    target = LinkTarget("micropython", changed_game("\n# another line\n"))
    assert play(target, contacts) == desk_digest
    target.close()


@pytest.mark.micropython
def test_rules_that_break_in_the_process_say_where(changed_game):
    target = LinkTarget("micropython", changed_game(BREAKS))
    target.start(1, {})
    target.contact(3, True)
    with pytest.raises(MachineStopped, match=r"it stopped at game\.py:\d+ in broken: ValueError: planted"):
        target.advance(10)
    target.close()


@pytest.mark.micropython
def test_a_game_that_cannot_be_imported_says_why(changed_game):
    target = LinkTarget("micropython", changed_game("\nraise ValueError('planted')\n"))
    with pytest.raises(LinkError, match=r"the MicroPython process ended: .*ValueError: planted"):
        target.start(1, {})
    target.close()


BREAKS = """
from firmware.console import Console

def broken(self, switch, closed):
    raise ValueError("planted")

Console.contact = broken
"""


@pytest.fixture
def energised(game, tmp_path, micropython_command):
    """A real-time run with its pin log, coils enabled."""
    log = tmp_path / "pins.log"
    spawned = micropython.Spawned(game, pins=log)
    target = LinkTarget(spawned.port, game, real_time=True)
    spawned.release_line()
    target.start(1, {})
    target.advance(100)
    assert levels(log.read_text())["enable"] == 1
    yield spawned, target, log
    target.close()
    spawned.close()


def all_off_within(log, seconds):
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        text = log.read_text()
        if " off " in text:
            assert not any(levels(text).values()), text
            return text.rpartition(" off ")[2].strip()
        time.sleep(0.01)
    raise AssertionError("never off: " + log.read_text())


def test_all_is_off_when_the_line_ends(energised):
    _spawned, target, log = energised
    target._link._port.close()
    assert "EIO" in all_off_within(log, 1)


def test_all_is_off_when_the_host_falls_silent(energised):
    _spawned, _target, log = energised
    assert all_off_within(log, 1) == "the host fell silent"


def test_all_is_off_after_an_interrupt(energised):
    spawned, _target, log = energised
    spawned.process.send_signal(signal.SIGINT)
    assert "KeyboardInterrupt" in all_off_within(log, 1)


def test_all_is_off_when_the_run_ends(energised):
    _spawned, target, log = energised
    target.finish()
    assert all_off_within(log, 1) == "the run ended"


def test_all_is_off_after_a_damaged_frame(energised):
    _spawned, target, log = energised
    target._link._port.write(b"\x05junk\x00")
    assert all_off_within(log, 1) == "a frame from the host arrived damaged"


def test_a_system_without_pseudo_terminals_is_told(game, monkeypatch):
    def none():
        raise OSError(19, "No such device")

    monkeypatch.setattr(micropython, "find", lambda: "micropython")
    monkeypatch.setattr(os, "openpty", none)
    with pytest.raises(UsageError, match="needs a pseudo-terminal; this system gives none"):
        micropython.Spawned(game)
