"""A device's session on a bench of its own; not a test itself."""

import hashlib

from firmware.base.trace import AWARD, COIL, EDGE, Trace
from firmware.board import Board
from firmware.link import frames
from firmware.link.device import Device
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


def faulted(bench, got, word):
    assert kinds(got) == [frames.FAULT], got
    assert word in bench.words, bench.words
    assert bench.say(frames.ADVANCE, u32(1)) == []


def i32(n):
    return u32(n & 0xFFFFFFFF)


def ask(bench, what, place):
    return bench.say(frames.ASK, bytes([what]), place.to_bytes(2, "little"))
