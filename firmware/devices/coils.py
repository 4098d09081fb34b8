"""The coil governor: no pulse beyond a coil's longest on-time, none within its rest.

It refuses and records; it never stretches, and shortens only when told to switch off.
Queued coils wait their turn, `SPACING` ms apart; the others act now or not at all.
"""

from array import array

from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.base.trace import COIL, REFUSED, Trace
from firmware.charts.near import meant
from firmware.play.playfield import Playfield
from firmware.play.requests import HOLD, OFF

CLASSES = ("queued", "snap", "flipper", "flasher", "motor", "meter")
SPACING = 100
QUEUE = 8

TOO_LONG = 1
RESTING = 2
NOT_ARMED = 3
BUSY = 4
QUEUE_FULL = 5
REASONS = ("", "longer than its longest on-time", "resting", "not armed", "busy", "queue full")


class Coils:
    """Limits, rests and the queue of every coil; ids are positions in the wiring table."""

    def __init__(self, play: Playfield, board: "Board") -> None:
        rows = play.wiring.COILS
        check(rows)
        self.made = 0
        self._queued = bytearray([row[1] == "queued" for row in rows])
        self._longest = array("i", [row[3] for row in rows])
        self._rest = array("i", [row[4] for row in rows])
        self._ready = array("i", [0] * len(rows))
        self._used = bytearray(len(rows))
        self._held = bytearray(len(rows))
        self._queue = bytearray(QUEUE)
        self._queue_ms = array("i", [0] * QUEUE)
        self._waiting = 0
        self._timers = play.timers
        self._clock = play.clock(self._serve)
        self._spacing = play.clock(_nothing)
        self._trace: Trace = play.trace
        self.board = board

    def ask(self, coil: int, ms: int) -> None:
        """Pulse `coil` for `ms`, hold it (HOLD) or switch it off (OFF), within its limits."""
        if ms == OFF:
            self.off(coil)
        elif self._queued[coil] and ms > 0:
            self._enqueue(coil, ms)
        else:
            self.fire(coil, ms)

    def fire(self, coil: int, ms: int) -> bool:
        """Now or not at all; whether it fired."""
        reason = self._reason(coil, ms)
        if reason:
            self._trace.add(REFUSED, coil, reason)
            return False
        self.made += 1
        self._trace.add(COIL, coil, ms)
        if ms == HOLD:
            self._held[coil] = 1
            self.board.hold(coil)
            return True
        self._used[coil] = 1
        self._ready[coil] = ticks.add(self._timers.now, ms + self._rest[coil])
        self.board.pulse(coil, ms)
        return True

    def off(self, coil: int) -> None:
        """Off now; nothing to do, nothing to record, when it is off already."""
        if self._held[coil] or self._on(coil):
            self.made += 1
            self._trace.add(COIL, coil, OFF)
            self._held[coil] = 0
            self._ready[coil] = ticks.add(self._timers.now, self._rest[coil])
            self.board.release(coil)

    def all_off(self) -> None:
        """Every coil off and the queue forgotten."""
        self._waiting = 0
        self._clock.stop()
        for coil in range(len(self._held)):
            self.off(coil)

    def resting(self, coil: int) -> int:
        """Milliseconds until `coil` may fire again."""
        if not self._used[coil]:
            return 0
        left = ticks.diff(self._ready[coil], self._timers.now)
        if left <= 0:
            self._used[coil] = 0
            return 0
        return left

    def _on(self, coil: int) -> bool:
        return bool(self.resting(coil) > self._rest[coil])

    def _reason(self, coil: int, ms: int) -> int:
        if ms == HOLD:
            return 0 if not self._longest[coil] else TOO_LONG
        if self._longest[coil] and ms > self._longest[coil]:
            return TOO_LONG
        if self.resting(coil):
            return RESTING
        return 0

    def _enqueue(self, coil: int, ms: int) -> None:
        if self._waiting == QUEUE:
            self._trace.add(REFUSED, coil, QUEUE_FULL)
            return
        self._queue[self._waiting] = coil
        self._queue_ms[self._waiting] = ms
        self._waiting += 1
        if self._waiting == 1:
            self._serve()

    def _serve(self) -> None:
        """Fire the head of the queue when it and the spacing allow, else come back then."""
        while self._waiting:
            wait = max(self._spacing.left(), self.resting(self._queue[0]))
            if wait:
                self._clock.start(wait)
                return
            coil = self._queue[0]
            ms = self._queue_ms[0]
            self._waiting -= 1
            for i in range(self._waiting):
                self._queue[i] = self._queue[i + 1]
                self._queue_ms[i] = self._queue_ms[i + 1]
            if self.fire(coil, ms):
                self._spacing.start(SPACING)


def _nothing() -> None:
    """The spacing clock only has to run out."""


def check(rows: "tuple[tuple[str, str, int, int, int, int], ...]") -> None:
    """Raises GameError for a coil of unknown class, without a limit, or pulsed beyond it."""
    for name, kind, pulse, longest, rest, _drive in rows:
        if kind not in CLASSES:
            raise GameError(f"coil '{name}' has the unknown class '{kind}'{meant(kind, list(CLASSES))}")
        if pulse == HOLD:
            if kind not in ("flipper", "motor"):
                raise GameError(f"coil '{name}' is held on, which only flipper and motor coils may be")
        elif longest <= 0:
            raise GameError(f"coil '{name}' has no longest on-time; give it one in ms")
        elif not 0 < pulse <= longest:
            raise GameError(f"coil '{name}' pulses for {pulse} ms; its limit is {longest} ms")
        elif rest <= 0:
            raise GameError(f"coil '{name}' has no rest time; give it one in ms")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.board import Board
