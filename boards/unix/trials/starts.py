"""Row 19: boards that are not fit at start; each must refuse to energise anything, and say which.

In turn a bit of the firmware is flipped, an output is stuck on, the clock stands still or runs at a wrong
rate; every fourth board is sound and must start. Then a host greets it and asks for a run in real time.
"""

import hashlib

from boards.unix.main import UnixMachine
from boards.unix.trials import machines
from boards.unix.trials.both_ends import BothEnds
from boards.unix.trials.tally import Tally
from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.devices.self_test import Subject
from firmware.link import frames

GAME = "kit_room"
RATES = (0, 0, 50, 80, 120, 200, 1000)  # per cent
SOUND = 100
IMAGE = 4096  # bytes of firmware whose sum is reckoned
KINDS = ("bad firmware", "stuck output", "wrong clock", "sound board")
RUN_MS = 50


class Rig(Subject):
    """A board of one kind: an image and the sum it should have, outputs, and a clock of some rate."""

    def __init__(self, names: "list[str]", chance: Stream, kind: str) -> None:
        self.names = names
        self.image = bytearray([chance.below(256) for _ in range(IMAGE)])
        self.told = hashlib.sha256(self.image).digest()
        self.on: list[int] = []
        self.rate = SOUND
        self.words = ""
        self._us = chance.below(10_000) * 100_000
        self._plant(kind, chance)

    def sum_told(self) -> bytes:
        return self.told

    def sum_found(self) -> bytes:
        return hashlib.sha256(self.image).digest()

    def stuck(self) -> "list[int]":
        return self.on

    def called(self, coil: int) -> str:
        return self.names[coil]

    def clock_ms(self) -> int:
        return (ticks.MASK - 500_000 + self._us * self.rate // SOUND // 1000) & ticks.MASK

    def wait_us(self, ms: int) -> int:
        self._us += ms * 1000
        return ms * 1000

    def _plant(self, kind: str, chance: Stream) -> None:
        """Plant the fault; `words` is what must be said of it."""
        if kind == "bad firmware":
            self.image[chance.below(IMAGE)] ^= 1 << chance.below(8)
            self.words = "sum"
        elif kind == "stuck output":
            self.on = [chance.below(len(self.names))]
            self.words = f"output {self.names[self.on[0]]} is on"
        elif kind == "wrong clock":
            self.rate = RATES[chance.below(len(RATES))]
            self.words = "clock"


class RigMachine(UnixMachine):
    """The unix board's machine with a rig in the place of this process."""

    def __init__(self, rig: Rig) -> None:
        self._rig = rig
        super().__init__(GAME, "")

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        return bytes(32)

    def subject(self) -> Subject:
        return self._rig


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` boards are started."""
    tally = Tally()
    chance = Stream(seed, 19)
    names = [row[0] for row in machines.game(GAME).WIRING.COILS]
    while tally.ran < count:
        kind = KINDS[tally.ran % len(KINDS)]
        tally.ran += 1
        tally.tally(kind)
        rig = Rig(names, chance, kind)
        _start(tally, rig, f"board {tally.ran}, {kind}")
    return tally


def _start(tally: Tally, rig: Rig, what: str) -> None:
    """A host asks for a run in real time, twice."""
    machine = RigMachine(rig)
    for again in ("", ", asked again"):
        ends = BothEnds(machine)
        ends.hello()
        ends.start(frames.REAL_TIME)
        ends.pass_ms(RUN_MS)
        energised = machine.pins is not None and machine.pins.enabled
        said = ends.fault()
        if not rig.words:
            if said or not energised:
                tally.failed(f"{what}{again}: it is fit, and did not start: {said}")
            ends.device.all_off("the trial ended")
        elif energised or frames.STARTED in ends.kinds():
            tally.failed(f"{what}{again}: it started")
        elif rig.words not in said:
            tally.failed(f"{what}{again}: it did not say which: '{said}'")
