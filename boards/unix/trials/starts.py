"""Row 19: boards with a fault at start; each must refuse to energise anything, and say which.

In turn a bit of the firmware is flipped, an output is stuck on, the clock stands still or runs at a wrong
rate; every fourth board is sound and must start. Then a host greets it and asks for a run in real time.
"""

import hashlib

from boards.unix.main import UnixMachine
from boards.unix.trials import machines
from boards.unix.trials.loopback_link import LoopbackLink
from boards.unix.trials.tally import Tally
from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.devices.self_test import TestedBoard
from firmware.link import frames
from firmware.play import rows

GAME = "kit_room"
RATES = (0, 0, 50, 80, 120, 200, 1000)  # per cent
SOUND = 100
IMAGE = 4096  # bytes of firmware whose sum is reckoned
KINDS = ("bad firmware", "stuck output", "wrong clock", "sound board")
RUN_MS = 50


class FaultyBoard(TestedBoard):
    """A simulated board with one kind of fault: image and expected sum, outputs, a clock of some rate."""

    def __init__(self, names: "tuple[str, ...]", chance: Stream, kind: str) -> None:
        self.names = names
        self.image = bytearray([chance.below(256) for _ in range(IMAGE)])
        self.told = hashlib.sha256(self.image).digest()
        self.on: list[int] = []
        self.rate = SOUND
        self.words = ""
        self._us = chance.below(10_000) * 100_000
        self._plant(kind, chance)

    def expected_sum(self) -> bytes:
        """SHA-256 of the image before its fault."""
        return self.told

    def actual_sum(self) -> bytes:
        """SHA-256 of the image as it is."""
        return hashlib.sha256(self.image).digest()

    def stuck_coils(self) -> "list[int]":
        """Coils planted as stuck."""
        return self.on

    def coil_name(self, coil: int) -> str:
        """Its name in the wiring."""
        return self.names[coil]

    def clock_ms(self) -> int:
        """The clock at its planted rate."""
        return (ticks.MASK - 500_000 + self._us * self.rate // SOUND // 1000) & ticks.MASK

    def wait_us(self, ms: int) -> int:
        """Let time pass."""
        self._us += ms * 1000
        return ms * 1000

    def _plant(self, kind: str, chance: Stream) -> None:
        """Plant the fault; `words` must appear in the report."""
        if kind == "bad firmware":
            self.image[chance.below(IMAGE)] ^= 1 << chance.below(8)
            self.words = "sum"
        elif kind == "stuck output":
            self.on = [chance.below(len(self.names))]
            self.words = f"output {self.names[self.on[0]]} is on"
        elif kind == "wrong clock":
            self.rate = RATES[chance.below(len(RATES))]
            self.words = "clock"


class FaultyMachine(UnixMachine):
    """The unix board's machine on a FaultyBoard instead of this process."""

    def __init__(self, faulty: FaultyBoard) -> None:
        self._faulty = faulty
        super().__init__(GAME, "")

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """Zeros: this trial compares no files."""
        return bytes(32)

    def subject(self) -> TestedBoard:
        """The board with the fault."""
        return self._faulty


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` boards are started."""
    tally = Tally()
    chance = Stream(seed, 19)
    names = rows.names(machines.game(GAME).WIRING.COILS)
    while tally.ran < count:
        kind = KINDS[tally.ran % len(KINDS)]
        tally.ran += 1
        tally.count(kind)
        faulty = FaultyBoard(names, chance, kind)
        _start(tally, faulty, f"board {tally.ran}, {kind}")
    return tally


def _start(tally: Tally, faulty: FaultyBoard, what: str) -> None:
    """A host asks for a run in real time, twice."""
    machine = FaultyMachine(faulty)
    for again in ("", ", asked again"):
        ends = LoopbackLink(machine)
        ends.hello()
        ends.start(frames.REAL_TIME)
        ends.pass_ms(RUN_MS)
        energised = machine.pins is not None and machine.pins.enabled
        said = ends.fault()
        if not faulty.words:
            if said or not energised:
                tally.failed(f"{what}{again}: it is fit, and did not start: {said}")
            ends.device.all_off("the trial ended")
        elif energised or frames.STARTED in ends.kinds():
            tally.failed(f"{what}{again}: it started")
        elif faulty.words not in said:
            tally.failed(f"{what}{again}: it did not say which: '{said}'")
