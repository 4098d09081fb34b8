"""A device in real time: its clock, its outputs, a host that falls silent."""

from device_rig import NONCE, Beats, Bench, kinds, records, u32

from firmware.base.trace import RECORD
from firmware.board import Board
from firmware.link import frames
from firmware.link.device import DEAD_MAN_MS, Device


def test_real_time_follows_the_board_s_clock():
    bench = Bench()
    assert bench.start(frames.REAL_TIME) == []
    assert kinds(bench.turn(1)) == [frames.STARTED]
    assert bench.say(frames.ADVANCE, u32(40)) == []
    got = bench.turn(41)
    assert got[-1] == (frames.DONE, u32(40) + u32(4) + u32(0))
    assert len(records(got)) == 4 * RECORD
    assert bench.machine.outputs.did == ["enable"]


def test_real_time_says_at_once_that_the_present_is_reached():
    bench = Bench()
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    assert kinds(bench.say(frames.ADVANCE, u32(0)))[-1:] == [frames.DONE]


def test_real_time_says_so_when_a_coil_is_driven():
    bench = Bench()
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    bench.say(frames.ADVANCE, u32(5000))
    got = bench.turn(109)
    assert got[-1] == (frames.DONE, u32(100) + u32(11) + u32(0))
    assert bench.machine.outputs.did == ["enable", "pulse"]


def test_real_time_switches_off_when_the_host_falls_silent():
    bench = Bench()
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    bench.turn(DEAD_MAN_MS)
    assert bench.machine.outputs.did == ["enable", "pulse", "pulse"]
    assert frames.FAULT in kinds(bench.turn(1))
    assert bench.machine.outputs.did[-1] == "the host fell silent"
    assert bench.turn(1000) == []
    assert DEAD_MAN_MS < 250


def test_real_time_goes_on_while_the_host_gives_signs_of_life():
    bench = Bench()
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    for _ in range(20):
        bench.turn(100)
        assert bench.say(frames.ALIVE)[-1][0] == frames.PRESENT
    assert "the host fell silent" not in bench.machine.outputs.did


def test_a_damaged_frame_is_no_sign_of_life():
    bench = Bench()
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    wire = bench.wire(frames.ALIVE)
    wire[2] ^= 1
    assert kinds(bench.put(wire)) == [frames.FAULT]
    assert bench.machine.outputs.did[-1] == "a frame from the host arrived damaged"


def test_a_session_under_way_allocates_nothing():
    try:
        from micropython import heap_lock, heap_unlock
    except ImportError:
        return  # CPython has no heap to lock
    for mode in (frames.LOCK_STEP, frames.REAL_TIME):
        quiet = Quiet()
        wires = quiet.session(mode)
        now = 0
        heap_lock()
        try:
            for wire in wires:
                for byte in wire:
                    quiet.device.take(byte, now)
                for _ in range(100):
                    now += 1
                    quiet.device.tick(now)
        finally:
            heap_unlock()
        assert quiet.sent > 20


class Quiet:
    """A device whose answers are only counted."""

    def __init__(self):
        self.sent = 0
        machine = Beats()
        machine.outputs = Board()
        self.device = Device(machine, self.count)

    def count(self, data, end):
        self.sent += 1

    def session(self, mode):
        """Everything up to START is taken; the frames of 2 s that follow."""
        bench = Bench()
        bench._out.restart()
        for kind, payload in ((frames.HELLO, NONCE + b"\1"), (frames.START, bytes([mode]) + u32(1))):
            for byte in bytes(bench.wire(kind, payload)):
                self.device.take(byte, 0)
        self.device.tick(0)
        wires = []
        for ms in range(100, 2000, 100):
            wires.append(bytes(bench.wire(frames.CONTACT, b"\5\0\1")))
            wires.append(bytes(bench.wire(frames.ADVANCE, u32(ms))))
            wires.append(bytes(bench.wire(frames.ALIVE)))
        return wires


def test_the_clock_may_wrap_in_mid_run():
    bench = Bench()
    bench.now = (1 << 30) - 20
    bench.start(frames.REAL_TIME)

    def turn(ms):
        for _ in range(ms):
            bench.now = (bench.now + 1) & ((1 << 30) - 1)
            bench.device.tick(bench.now)

    turn(1)
    bench.say(frames.ADVANCE, u32(40))
    turn(41)
    assert kinds(bench.got)[-1] == frames.DONE
    assert len(records(bench.got)) == 4 * RECORD
