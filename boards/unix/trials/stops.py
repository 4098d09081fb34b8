"""Row 10 on the unix board: its main loop is interrupted at any step of play, with coils on.

What interrupts it: an exception, Ctrl-C, Ctrl-C again
while it switches off, a MemoryError, and under MicroPython a heap that is full from then on.
"""

from boards.unix import main, pins
from boards.unix.trials import machines, storms
from boards.unix.trials.interrupter import FULL, KINDS, Interrupter
from boards.unix.trials.loopback_link import LoopbackLink
from boards.unix.trials.tally import Tally
from firmware.base import ticks
from firmware.devices.self_test import TestedBoard
from firmware.link import frames
from firmware.link.device import Device
from firmware.play import rows

GAME = "kit_room"
WARM_MS = 1_000  # the game has begun, a flipper is held and balls are served
WINDOW_MS = 60
CONTACTS = (
    # ms, switch, closed
    (20, "trough.1", 1),
    (20, "trough.2", 1),
    (20, "trough.3", 1),
    (300, "start", 1),
    (380, "start", 0),
    (WARM_MS - 60, "button.left", 1),
    (WARM_MS - 5, "sling.left", 1),
    (WARM_MS + 10, "sling.left", 0),
    (WARM_MS + 15, "sling.right", 1),
    (WARM_MS + 25, "button.right", 1),
    (WARM_MS + 40, "button.right", 0),
)


class Clock:
    """A clock set by hand."""

    def __init__(self) -> None:
        self.now = ticks.MASK - WARM_MS

    def ms(self) -> int:
        """The time in ms, of period 2^30."""
        return self.now


class WindowOver(Exception):
    """The run has gone on to its end."""


class FedLine:
    """A host's bytes by the millisecond, which a call of `ready` lets pass; arms the interrupter in time."""

    def __init__(self, clock: Clock, interrupter: "Interrupter", machine: "StopMachine") -> None:
        self.wait_ms = 0
        self.held = bytearray(1)
        self._clock = clock
        self._interrupter = interrupter
        self._machine = machine
        self._feed = _feed(machine)
        self._begin = clock.now
        self._at = 0
        self._waiting = b""

    def ready(self, wait_ms: int) -> bool:
        """Whether bytes wait; with `wait_ms` a millisecond passes. Raises WindowOver at the end."""
        past = ticks.diff(self._clock.now, self._begin)
        if wait_ms:
            self._clock.now = ticks.add(self._clock.now, 1)
            if past == WARM_MS:
                self._machine.on_before = self._machine.driving()
                self._interrupter.armed = True
            elif self._interrupter.fired and self._machine.driving():
                self._machine.late += 1
            if past == WARM_MS + WINDOW_MS:
                self._interrupter.armed = False
                raise WindowOver()
        while self._at < len(self._feed) and self._feed[self._at][0] <= past:
            self._waiting += self._feed[self._at][1]
            self._at += 1
        return len(self._waiting) > 0

    def read(self) -> int:
        """One byte into `held`."""
        self.held[0] = self._waiting[0]
        self._waiting = self._waiting[1:]
        return 1

    def write(self, data: bytearray, end: int) -> None:
        """Nobody listens."""


def _feed(machine: "StopMachine") -> "list[tuple[int, bytes]]":
    """What the host sends, by the millisecond: a game is begun, a flipper held up, slings are hit."""
    ends = LoopbackLink(machine)
    start = bytes([frames.REAL_TIME]) + bytes([1, 0, 0, 0])
    plan = [(1, frames.HELLO, bytes(frames.NONCE) + bytes([frames.PROTOCOL])), (3, frames.START, start)]
    plan += [(ms, frames.ALIVE, b"") for ms in range(100, WARM_MS + WINDOW_MS, 90)]
    names = rows.names(machines.game(GAME).WIRING.SWITCHES)
    for ms, name, closed in CONTACTS:
        plan.append((ms, frames.CONTACT, bytes([names.index(name), 0, closed])))
    plan.sort(key=lambda sent: sent[0])
    return [(ms, ends.wire(kind, payload)) for ms, kind, payload in plan]


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` stops, evenly over all steps of the window, the kinds in turn; a tenth as many stalls."""
    tally = Tally()
    storms.stalls(tally, max(1, count // 10), seed)
    interrupter = Interrupter()
    try:
        _session(interrupter, -1, KINDS[0])
        steps = interrupter.count
        tally.count("steps there are", steps)
        kinds = KINDS if machines.can_lock_heap() else KINDS[:-1]
        for trial in range(count):
            step = (trial * steps // count + seed) % steps
            _stop(tally, interrupter, 1 + step, kinds[trial % len(kinds)])
    finally:
        interrupter.uninstall()
    return tally


def _stop(tally: Tally, interrupter: Interrupter, at: int, kind: str) -> None:
    machine = _session(interrupter, at, kind)
    what = f"step {at}, {kind}"
    tally.ran += 1
    tally.count(kind)
    board = machine.pins
    if board is None or not interrupter.fired or not machine.on_before:
        tally.failed(f"{what}: nothing was on, so nothing is shown")
    elif machine.driving():
        tally.failed(
            f"{what}: enable or drives {[i for i in range(len(board.drives)) if board.drives[i]]} are on"
        )
    elif not board.reason:
        tally.failed(f"{what}: nobody said why")
    elif machine.late and kind != FULL:
        tally.failed(f"{what}: off {machine.late} ms late")


class Sink:
    """A log of pins that is thrown away."""

    def write(self, words: str) -> None:
        """Drop the line."""


class StopMachine(main.UnixMachine):
    """The unix board's machine, what was on when the window began, and how long anything was on too late."""

    def __init__(self) -> None:
        super().__init__(GAME, "")
        self.on_before = False
        self.late = 0
        self._log = Sink()

    def subject(self) -> TestedBoard:
        """A board without faults."""
        return HealthyBoard()

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """Zeros: this trial compares no files."""
        return bytes(32)

    def driving(self) -> bool:
        """Whether coil enable or a drive is on."""
        board = self.pins
        if board is None:
            return False
        for drive in board.drives:
            if drive:
                return True
        return board.enabled


class HealthyBoard(TestedBoard):
    """A board that passes its self-test at once."""

    def __init__(self) -> None:
        self._ms = 0

    def clock_ms(self) -> int:
        """The time that `wait_us` has let pass."""
        return self._ms

    def wait_us(self, ms: int) -> int:
        """Wait no time, exactly."""
        self._ms += ms
        return ms * 1000


def _session(interrupter: Interrupter, at: int, kind: str) -> StopMachine:
    """One run up to the stop, or to the end of the window; the machine after it."""
    clock = Clock()
    interrupter.armed = interrupter.fired = False
    interrupter.count = 0
    interrupter.at = at
    interrupter.kind = kind
    interrupter.install()
    machine = StopMachine()
    main.clock_ms = pins.clock_ms = clock.ms
    line = FedLine(clock, interrupter, machine)
    device = Device(machine, line.write)
    try:
        main.serve(line, device, machine)
    except BaseException as error:
        main.ended(error, device)
    finally:
        interrupter.heap.unlock()
        interrupter.armed = False
    return machine
