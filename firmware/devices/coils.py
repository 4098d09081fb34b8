"""The coil governor as the rules see it: requests, the queue, and the records of what came of them.

The limits themselves are in `coil_limiter.CoilLimiter`, or in the board that runs them by its own clock.
Queued coils wait their turn, `SPACING` ms apart; the others act now or not at all.
"""

from array import array

from firmware.base.errors import GameError
from firmware.base.trace import COIL, REFUSED, Trace
from firmware.charts.suggest import did_you_mean
from firmware.devices.coil_limiter import QUEUE_FULL, CoilLimiter
from firmware.devices.limiter_state import CLASSES
from firmware.devices.native import limiter as c
from firmware.play.requests import HOLD, OFF
from firmware.play.rule_context import RuleContext

SPACING = 100
QUEUE = 8
SUPPLY_WAIT = 20  # ms until a queued coil asks again when the supply is taken,
VOLTS_WAIT = 100  # and when the coil volts are low

REASONS = (
    "",
    "longer than its longest on-time",
    "resting",
    "not armed",
    "busy",
    "queue full",
    "its winding is hot",
    "the supply is taken",
    "its switch fires too often",
    "a ball rests on its switch",
    "no length of time",
    "kept off while the board drives one other coil alone",
)


class Coils:
    """Requests and the queue of every coil; ids are positions in the wiring table."""

    def __init__(self, play: RuleContext, board: "Board") -> None:
        rows = play.wiring.COILS
        check(rows)
        self.made = 0
        self.limiter = CoilLimiter(play.wiring)
        self._queued = bytearray([kind == "queued" for _name, kind, _pulse, _longest, _rest, _drive in rows])
        self._queue = bytearray(QUEUE)
        self._queue_ms = array("i", [0] * QUEUE)
        self._waiting = 0
        self.lost = 0  # reports of the limiter that found no room: what it did is not in the trace
        self._counted = 0
        self._faults = play.faults
        self._timers = play.timers
        self._clock = play.clock(self._serve)
        self._spacing = play.clock(_nothing)
        self._trace: Trace = play.trace
        self.board = board

    def begin(self, board: "Board") -> None:
        """The run starts, on `board` and with its own limits when it has some."""
        self.board = board
        if board.limiter:
            self.limiter = board.limiter
        else:
            self.limiter.begin(self._timers.now)
        self._counted = self.limiter.state[c.RING_LOST]

    def request(self, coil: int, ms: int) -> None:
        """Pulse `coil` for `ms`, hold it (HOLD) or switch it off (OFF), within its limits."""
        if ms == OFF:
            self.off(coil)
        elif self._queued[coil] and ms > 0:
            self._enqueue(coil, ms)
        else:
            self.fire(coil, ms)

    def fire(self, coil: int, ms: int) -> bool:
        """Now or not at all; whether it fired."""
        reason = self.limiter.fire(coil, ms, self._timers.now)
        self.drain()
        return not reason

    def off(self, coil: int) -> None:
        """Off now, and its waiting pulses are forgotten; nothing is recorded when it is off already."""
        self._forget(coil)
        self.limiter.off(coil, self._timers.now)
        self.drain()

    def drain(self) -> None:
        """Record what the limiter did, and tell the board."""
        limiter = self.limiter
        if not limiter.state[c.RING_HELD]:
            return
        if limiter.state[c.RING_LOST] != self._counted:
            self._count_lost()
        at = limiter.first()
        while at >= 0:
            what = limiter.state[at]
            coil = limiter.state[at + 1]
            value = limiter.state[at + 2]
            limiter.drop_first()
            if what == c.REFUSED:
                self._trace.add(REFUSED, coil, value)
                self.board.refused(coil, value)
            else:
                self.made += 1
                self._trace.add(COIL, coil, value)
                self._tell(coil, value)
            at = limiter.first()

    def _count_lost(self) -> None:
        """Only a ring that was full lost anything, so this is seen by the next drain."""
        lost = self.limiter.state[c.RING_LOST] - self._counted
        self._counted += lost
        self.lost += lost
        self._faults.report("reports_lost", 0, lost)

    def _tell(self, coil: int, value: int) -> None:
        if value == HOLD:
            self.board.hold(coil)
        elif value:
            self.board.pulse(coil, value)
        else:
            self.board.release(coil)

    def all_off(self) -> None:
        """Every coil off and the queue forgotten."""
        self._waiting = 0
        self._clock.stop()
        for coil in range(len(self._queued)):
            self.limiter.off(coil, self._timers.now)
        self.drain()

    def is_idle(self) -> bool:
        """Whether no coil is on and none waits for its turn."""
        return not self._waiting and not self.limiter.driven(self._timers.now)

    def held(self, coil: int) -> bool:
        """Whether `coil` is held on."""
        return bool(self.limiter.state[c.HEAD + coil * c.COIL + c.STATE] == c.HELD)

    def resting(self, coil: int) -> int:
        """Milliseconds until `coil` may fire again."""
        return self.limiter.resting(coil, self._timers.now)

    def _enqueue(self, coil: int, ms: int) -> None:
        if self._waiting == QUEUE:
            self._trace.add(REFUSED, coil, QUEUE_FULL)
            return
        self._queue[self._waiting] = coil
        self._queue_ms[self._waiting] = ms
        self._waiting += 1
        if self._waiting == 1:
            self._serve()

    def _forget(self, coil: int) -> None:
        kept = 0
        for i in range(self._waiting):
            if self._queue[i] != coil:
                self._queue[kept] = self._queue[i]
                self._queue_ms[kept] = self._queue_ms[i]
                kept += 1
        self._waiting = kept

    def _serve(self) -> None:
        """Fire the head of the queue when it, the spacing and the supply allow, else come back then."""
        while self._waiting:
            wait = self._wait(self._queue[0], self._queue_ms[0])
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

    def _wait(self, coil: int, ms: int) -> int:
        """Milliseconds after which the head of the queue should be looked at again."""
        wait = max(self._spacing.remaining_ms(), self.resting(coil))
        if wait:
            return wait
        if self.limiter.volts_low:
            return VOLTS_WAIT
        return SUPPLY_WAIT if self.limiter.reason(coil, ms, self._timers.now) == c.SUPPLY_TAKEN else 0


def _nothing() -> None:
    """The spacing clock only has to run out."""


def check(rows: "tuple[tuple[str, str, int, int, int, int], ...]") -> None:
    """Raises GameError for a coil of unknown class, without a limit, or pulsed beyond it."""
    for name, kind, pulse, longest, rest, _drive in rows:
        if kind not in CLASSES:
            raise GameError(
                f"coil '{name}' has the unknown class '{kind}'{did_you_mean(kind, list(CLASSES))}"
            )
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
