"""Sessions over the link in this process, with a virtual clock."""

import hashlib
import socket
import struct
import threading
import time
from contextlib import suppress

import pytest

from firmware.base.errors import LinkError
from firmware.board import Board
from firmware.link import frames
from firmware.link.device import Device
from hil.bench.targets.linked import LinkTarget, identity
from hil.bench.targets.target import MachineStopped
from hil.benchmarks.reliability.bad_line import play
from hil.benchmarks.reliability.loop import LoopMachine, LoopPort


def over(port, game, **options):
    return LinkTarget.over(port, game, clock=port.clock, **options)


def test_a_session_makes_the_trace_of_the_desk(port, game, contacts, desk_digest):
    assert play(over(port, game), contacts) == desk_digest


def test_a_second_run_of_the_same_session_makes_it_again(port, game, contacts, desk_digest):
    target = over(port, game)
    assert play(target, contacts) == desk_digest
    assert play(target, contacts) == desk_digest


def test_the_records_are_those_of_the_digest(port, game, contacts):
    target = over(port, game)
    target.start(1, {})
    reached = 0
    while reached < 3000:
        reached = target.advance(3000)
    records = target.records()
    assert len(records) % 12 == 0
    assert hashlib.sha256(records).digest() == target.finish()


def test_a_setting_reaches_the_console(port, game):
    target = over(port, game)
    target.start(1, {"ball_save": 3})
    assert port.device._console.settings.get("ball_save").value == 3


def test_a_setting_that_the_console_refuses_stops_the_machine(port, game):
    with pytest.raises(MachineStopped, match="ball_save"):
        over(port, game).start(1, {"ball_save": 999})


def test_rules_that_break_stop_the_machine_with_their_words(port, game, monkeypatch):
    target = over(port, game)
    target.start(1, {})

    def broken(switch, closed):
        raise ValueError("planted")

    monkeypatch.setattr(port.device._console, "contact", broken)
    target.contact(3, True)
    with pytest.raises(MachineStopped, match="ValueError: planted"):
        target.advance(100)


def test_events_that_found_no_room_in_a_queue_make_the_run_invalid(port, game):
    target = over(port, game)
    target.start(1, {})
    target.advance(100)
    port.device._console.engine.external.dropped = 3
    with pytest.raises(LinkError, match="and 3 records or events were lost"):
        target.advance(200)


def test_after_a_machine_that_stopped_the_next_run_is_whole(port, game, contacts, desk_digest):
    target = over(port, game)
    with pytest.raises(MachineStopped):
        target.start(1, {"ball_save": 999})
    assert play(target, contacts) == desk_digest


def test_a_cable_pulled_in_mid_run_is_invalid_at_once(port, game):
    target = over(port, game)
    target.start(1, {})
    target.advance(10)
    port.close()
    with pytest.raises(LinkError, match="the line broke"):
        target.advance(20)
    with pytest.raises(LinkError):
        target.finish()


def test_a_device_that_falls_silent_is_invalid_in_bounded_time(port, game, monkeypatch):
    target = over(port, game, patience_s=2.0)
    target.start(1, {})
    monkeypatch.setattr(port.device, "take", lambda byte, now_ms: None)
    began = port.clock()
    with pytest.raises(LinkError, match="nothing came from the device for 2 s"):
        target.advance(20)
    assert port.clock() - began <= 2.1


def test_no_device_at_all_is_invalid_in_bounded_time(port, game, monkeypatch):
    monkeypatch.setattr(port.device, "take", lambda byte, now_ms: None)
    with pytest.raises(LinkError, match="does not answer HELLO"):
        over(port, game, patience_s=2.0).start(1, {})
    assert port.clock() <= 2.1


def test_junk_before_the_greeting_is_passed_over(port, game, contacts, desk_digest):
    port._waiting += b"\r\nMicroPython on some board\r\n>>> \x00\x05junk\x00\x01"
    assert play(over(port, game), contacts) == desk_digest


def test_endless_junk_instead_of_a_greeting_is_invalid(port, game, monkeypatch):
    monkeypatch.setattr(port, "read", lambda n: b"junk\x00" * 100)
    with pytest.raises(LinkError, match="does not answer HELLO"):
        over(port, game).start(1, {})


def test_the_error_that_ended_the_program_before_is_told_to_the_bench(port, game, contacts, desk_digest):
    target = over(port, game)
    assert play(target, contacts) == desk_digest
    assert target.ended == ""
    port.device._machine.ended = "an error in the program: ValueError: planted, at x.py:3 in act"
    again = over(port, game)
    assert play(again, contacts) == desk_digest
    assert again.ended == port.device._machine.ended


def test_another_protocol_is_invalid(port, game, monkeypatch):
    monkeypatch.setattr(frames, "PROTOCOL", 2)
    greeting = over(port, game)
    hello = greeting._link.greet
    monkeypatch.setattr(greeting._link, "greet", lambda nonce, wait: b"\x01" + hello(nonce, wait)[1:])
    with pytest.raises(LinkError, match="speaks protocol 1, not 2"):
        greeting.start(1, {})


def test_records_out_of_their_time_are_invalid(port, game, monkeypatch):
    target = over(port, game)
    target.start(1, {})
    target.advance(500)
    old = struct.pack("<IHHi", 499, 1, 3, 1)
    late = struct.pack("<IHHi", 601, 1, 3, 1)
    for bad in (old, late):
        target._last_ms = 500
        with pytest.raises(LinkError, match="out of their time"):
            target._take(frames.RECORDS, bad, 600)


def test_lock_step_drives_nothing(game, contacts):
    outputs = Outputs()
    port = LoopPort(LoopMachine(game, outputs))
    play(over(port, game), contacts)
    assert outputs.said == []


class Outputs(Board):
    """Writes down what it is told."""

    def __init__(self):
        self.said = []

    def enable(self, on):
        self.said.append(f"enable {on}")

    def all_off(self, reason):
        self.said.append(reason)


def test_real_time_waits_for_the_board_s_clock(game):
    port = LoopPort(LoopMachine(game))
    target = over(port, game, real_time=True)
    target.start(1, {})
    began = port.clock()
    assert target.advance(700) >= 700
    assert 0.65 <= port.clock() - began <= 0.8
    digest = target.finish()
    assert hashlib.sha256(target.records()).digest() == digest


def test_real_time_enables_the_coils_and_switches_off_at_the_end(game):
    outputs = Outputs()
    target = over(LoopPort(LoopMachine(game, outputs)), game, real_time=True)
    target.start(1, {})
    assert outputs.said == ["enable True"]
    target.advance(100)
    target.finish()
    assert outputs.said == ["enable True", "the run ended"]


def test_real_time_switches_off_when_the_host_stays_away(game):
    outputs = Outputs()
    port = LoopPort(LoopMachine(game, outputs))
    target = over(port, game, real_time=True)
    target.start(1, {})
    target.advance(100)
    for _ in range(250):
        port.now_ms += 1
        port.device.tick(port.now_ms)
    assert outputs.said[-1] == "the host fell silent"
    with pytest.raises(LinkError, match="the host fell silent"):
        target.advance(1000)


class SocketDevice:
    """A device at the other end of a TCP connection, as a serial server offers it."""

    def __init__(self, game):
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"socket://127.0.0.1:{self._listener.getsockname()[1]}"
        self._line = None
        self._device = Device(LoopMachine(game), lambda data, end: self._line.sendall(data[:end]))
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self):
        self._line, _ = self._listener.accept()
        self._line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        with suppress(OSError):  # the connection's end is this thread's
            while data := self._line.recv(64):
                for byte in data:
                    self._device.take(byte, 0)

    def unplug(self):
        self._line.shutdown(socket.SHUT_RDWR)
        self._listener.close()


def test_a_device_behind_a_url_makes_the_trace_of_the_desk(game, contacts, desk_digest):
    target = LinkTarget(SocketDevice(game).url, game)
    assert play(target, contacts) == desk_digest
    target.close()


def test_a_connection_that_breaks_in_mid_run_is_invalid_in_bounded_time(game):
    device = SocketDevice(game)
    target = LinkTarget(device.url, game, patience_s=1)
    target.start(1, {})
    target.advance(100)
    device.unplug()
    began = time.monotonic()
    with pytest.raises(LinkError):
        target.advance(200)
    assert time.monotonic() - began < 2
    target.close()


def test_the_host_computes_what_the_device_answers(game):
    nonce = bytes(16)
    sha = hashlib.sha256(nonce)
    for path, content in game.identity_files():
        sha.update(path.encode() + b"\0" + len(content).to_bytes(4, "little") + content)
    assert identity(nonce, game) == sha.digest()


def test_a_port_that_is_not_there_is_invalid(game):
    with pytest.raises(LinkError, match="'/dev/no_such_port' does not open"):
        LinkTarget("/dev/no_such_port", game)
