"""The device's end of the link with a console that only counts."""

import hashlib

from firmware.base.trace import AWARD, COIL, EDGE, RECORD, Trace
from firmware.board import Board
from firmware.link import frames
from firmware.link.device import DEAD_MAN_MS, Device
from firmware.link.frames import Receiver, Sender
from firmware.link.machine import Machine
from firmware.play.faults import Faults

NONCE = bytes(range(16))


class Number:
    def __init__(self, value):
        self.value = value


class Play:
    def __init__(self, trace):
        self.faults = Faults(trace)
        self.dropped = 0
        self.windows = (0, 0, 0)


class Memory:
    def __init__(self):
        self.values = [Number(each - 50) for each in range(102)]


class Beat:
    """A console that makes a record every 10 ms, a COIL record every 100 ms, and one for each contact."""

    def __init__(self, board):
        self.now = 0
        self.board = board
        self.trace = Trace(16)
        self.play = Play(self.trace)
        self.memory = Memory()
        self.timers = self

    def window_left(self, at):
        return (0, 14000, -2500)[at]

    def lost(self):
        return self.trace.lost + self.play.dropped

    def contact(self, switch, closed):
        if switch == 7:
            raise ValueError("switch 7 breaks the rules")
        if switch == 6:
            self.play.faults.report("rule_error", 0, 2)
            self.play.faults.report("events_dropped", 0, 5)
            raise ValueError("switch 6 breaks them twice")
        if switch == 5 and not closed:
            for _ in range(20):
                self.trace.add(AWARD, 1, 10)
        self.trace.now = self.now
        self.trace.add(EDGE, switch, 1 if closed else 0)

    def due(self):
        return 10 - self.now % 10

    def run_to(self, now_ms, until_coil=False):
        while self.now + self.due() <= now_ms:
            self.now += self.due()
            self.trace.now = self.now
            self.trace.add(AWARD, 1, 10)
            if self.now % 100 == 0:
                self.trace.add(COIL, 2, 30)
                self.board.pulse(2, 30)
                if until_coil:
                    return self.now
        self.now = now_ms
        return now_ms


class Outputs(Board):
    def __init__(self):
        self.did = []

    def enable(self, on):
        self.did.append("enable" if on else "disable")

    def pulse(self, coil, ms):
        self.did.append("pulse")

    def all_off(self, reason):
        self.did.append(reason)


class Beats(Machine):
    name = "beats"
    switches = 8
    settings = ("tempo", "volume")

    def __init__(self):
        self.outputs = Outputs()
        self.given = {}

    def identify(self, nonce):
        return hashlib.sha256(nonce + b"beats").digest()

    def console(self, seed, settings, board):
        self.given = dict(settings)
        return Beat(board)

    def board(self):
        return self.outputs


class Bench:
    """Both ends in one place."""

    def __init__(self):
        self.machine = Beats()
        self.got = []
        self.words = ""
        self._in = Receiver(frames.TO_HOST)
        self.device = Device(self.machine, self.hear)
        self._wire = bytearray()
        self._out = Sender(lambda data, end: self._wire.extend(data[:end]), frames.TO_DEVICE)
        self.now = 0

    def hear(self, data, end):
        for i in range(end):
            if self._in.take(data[i]) == Receiver.FRAME:
                payload = bytes(self._in.body[frames.HEAD : self._in.end])
                self.got.append((self._in.kind, payload))
                if self._in.kind == frames.FAULT:
                    self.words = payload[1:].decode()

    def wire(self, kind, *payload):
        self._wire = bytearray()
        self._out.begin(kind)
        for part in payload:
            self._out.put(part)
        self._out.send()
        return self._wire

    def say(self, kind, *payload):
        """Send it; the frames that it made the device send."""
        return self.put(self.wire(kind, *payload))

    def put(self, wire):
        before = len(self.got)
        for byte in wire:
            self.device.take(byte, self.now)
        return self.got[before:]

    def hello(self):
        self._out.restart()
        self._in = Receiver(frames.TO_HOST)
        return self.say(frames.HELLO, NONCE, bytes([frames.PROTOCOL]))

    def start(self, mode=frames.LOCK_STEP):
        self.hello()
        return self.say(frames.START, bytes([mode]), u32(1))

    def turn(self, ms):
        """Real time: the board's clock goes on."""
        before = len(self.got)
        for _ in range(ms):
            self.now += 1
            self.device.tick(self.now)
        return self.got[before:]


def u32(n):
    return n.to_bytes(4, "little")


def kinds(got):
    return [kind for kind, _ in got]


def records(got):
    return b"".join([payload for kind, payload in got if kind == frames.RECORDS])


def test_a_machine_without_a_board_says_so():
    try:
        Machine().board()
    except NotImplementedError:
        return
    raise AssertionError("it has one")


def test_hello_is_answered_with_the_protocol_the_identity_and_the_name():
    got = Bench().hello()
    assert got == [(frames.WELCOME, bytes([1]) + hashlib.sha256(NONCE + b"beats").digest() + b"beats")]


def test_hello_is_answered_with_the_error_that_ended_the_program_before():
    bench = Bench()
    bench.machine.ended = "an error in the program: " + "x" * 300
    ((kind, payload),) = bench.hello()
    assert kind == frames.WELCOME
    name, ended = payload[1 + frames.DIGEST :].split(b"\0")
    assert name == b"beats"
    assert ended.decode() == bench.machine.ended[: frames.ENDED_MOST]


def test_an_end_of_the_program_is_told_to_a_host_in_a_session_alone():
    bench = Bench()
    bench.device.end("an error in the program")
    assert bench.got == []
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    before = len(bench.got)
    bench.device.end("the hardware has a fault: the scan stands still")
    faulted(bench, bench.got[before:], "the scan stands still")
    assert bench.machine.outputs.did[-1] == "the hardware has a fault: the scan stands still"


def test_a_machine_hears_that_it_is_alive_at_each_step_of_a_long_way():
    bench = Bench()
    bench.start()
    alive = []
    bench.machine.alive = lambda: alive.append(1)
    bench.say(frames.ADVANCE, u32(95))
    assert len(alive) == 10


def test_without_hello_nothing_is_answered():
    bench = Bench()
    assert bench.say(frames.START, b"\0", u32(1)) == []
    assert bench.put(b"\x05junk\0") == []


def test_advance_stops_after_the_record_of_a_coil():
    bench = Bench()
    assert kinds(bench.start()) == [frames.STARTED]
    got = bench.say(frames.ADVANCE, u32(1000))
    assert got[-1] == (frames.DONE, u32(100) + u32(11) + u32(0))
    assert len(records(got)) == 11 * RECORD


def test_advance_without_a_coil_reaches_its_goal():
    bench = Bench()
    bench.start()
    assert bench.say(frames.ADVANCE, u32(95))[-1] == (frames.DONE, u32(95) + u32(9) + u32(0))


def i32(n):
    return u32(n & 0xFFFFFFFF)


def ask(bench, what, place):
    return bench.say(frames.ASK, bytes([what]), place.to_bytes(2, "little"))


def facts(what, place, numbers):
    return [(frames.FACTS, bytes([what]) + place.to_bytes(2, "little") + b"".join([i32(n) for n in numbers]))]


def test_windows_are_told_by_the_time_left_and_negative_when_they_stand_still():
    bench = Bench()
    bench.start()
    assert ask(bench, frames.WINDOWS, 0) == facts(frames.WINDOWS, 0, [0, 14000, -2500])


def test_values_come_fifty_a_frame():
    bench = Bench()
    bench.start()
    assert ask(bench, frames.VALUES, 0) == facts(frames.VALUES, 0, range(-50, 0))
    assert ask(bench, frames.VALUES, 100) == facts(frames.VALUES, 100, [50, 51])
    assert ask(bench, frames.VALUES, 102) == facts(frames.VALUES, 102, [])


def test_a_question_changes_nothing():
    bench = Bench()
    bench.start()
    plain = bench.say(frames.ADVANCE, u32(95))[-1]
    ask(bench, frames.VALUES, 0)
    assert bench.say(frames.ADVANCE, u32(95))[-1] == plain


def test_an_unknown_question_is_refused():
    bench = Bench()
    bench.start()
    faulted(bench, ask(bench, frames.FAULTS + 1, 0), "out of range")


def test_the_records_before_an_error_of_the_rules_are_sent():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, (1).to_bytes(2, "little"), b"\1")
    got = bench.say(frames.CONTACT, (7).to_bytes(2, "little"), b"\1")
    assert kinds(got) == [frames.RECORDS, frames.FAULT]
    assert len(records(got)) == RECORD


def test_a_long_way_does_not_overflow_the_ring():
    bench = Bench()
    bench.start()
    made = b""
    reached = 0
    while reached < 5000:
        got = bench.say(frames.ADVANCE, u32(5000))
        made += records(got)
        assert got[-1][0] == frames.DONE
        reached = int.from_bytes(got[-1][1][:4], "little")
    assert len(made) == (500 + 50) * RECORD
    kind, payload = bench.say(frames.FINISH)[-1]
    assert kind == frames.FINISHED
    assert payload[:32] == hashlib.sha256(made).digest()
    assert payload[36:] == hashlib.sha256(NONCE + u32(1) + payload[:32]).digest()


def test_a_contact_reaches_the_console():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\5\0\1")
    got = bench.say(frames.ADVANCE, u32(1))
    assert records(got)[4:8] == bytes([EDGE, 0, 5, 0])


def test_settings_go_with_the_next_start_only():
    bench = Bench()
    bench.hello()
    bench.say(frames.SETTING, b"\1", u32(70))
    bench.say(frames.START, b"\0", u32(1))
    assert bench.machine.given == {"volume": 70}
    bench.say(frames.FINISH)
    bench.say(frames.START, b"\0", u32(1))
    assert bench.machine.given == {}


def test_lock_step_drives_nothing():
    bench = Bench()
    bench.start()
    bench.say(frames.ADVANCE, u32(100))
    assert bench.machine.outputs.did == []


def faulted(bench, got, word):
    assert kinds(got) == [frames.FAULT], got
    assert word in bench.words, bench.words
    assert bench.say(frames.ADVANCE, u32(1)) == []


def test_a_damaged_frame_ends_the_session():
    bench = Bench()
    bench.start()
    wire = bench.wire(frames.ADVANCE, u32(10))
    wire[3] ^= 16
    faulted(bench, bench.put(wire), "damaged")


def test_a_missing_frame_ends_the_session():
    bench = Bench()
    bench.start()
    bench.wire(frames.CONTACT, b"\5\0\1")
    faulted(bench, bench.say(frames.ADVANCE, u32(10)), "missing")


def test_a_frame_out_of_place_ends_the_session():
    bench = Bench()
    bench.hello()
    faulted(bench, bench.say(frames.ADVANCE, u32(10)), "type 5")


def test_a_switch_that_is_not_wired_ends_the_session():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.CONTACT, b"\x08\0\1"), "8 in a frame of type 4")


def test_a_time_that_is_over_ends_the_session():
    bench = Bench()
    bench.start()
    bench.say(frames.ADVANCE, u32(50))
    faulted(bench, bench.say(frames.ADVANCE, u32(49)), "49 in a frame of type 5")


def test_rules_that_break_end_the_session_with_their_words():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.CONTACT, b"\7\0\1"), "ValueError: switch 7 breaks")


def test_what_else_went_wrong_is_named_with_the_exception_that_ended_the_session():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.CONTACT, b"\6\0\1"), "twice; also: rule_error, events_dropped")


def test_records_that_the_ring_lost_end_the_session_and_are_named():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\5\0\0")
    faulted(bench, bench.say(frames.ADVANCE, u32(1))[-1:], "the trace lost 5 records; also: records_lost")


def test_what_the_charts_lost_goes_with_each_answer():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\5\0\1")
    assert bench.say(frames.ADVANCE, u32(1))[-1][1][8:] == u32(0)
    bench.device._console.play.dropped = 3
    assert bench.say(frames.ADVANCE, u32(2))[-1][1][8:] == u32(3)


def test_after_a_fault_a_new_session_begins():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\7\0\1")
    assert kinds(bench.start()) == [frames.STARTED]
    assert kinds(bench.say(frames.ADVANCE, u32(1))) == [frames.DONE]


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
