"""Random play of a whole game, drawn from a seed, the same under both Pythons: contacts in, records out.

Somebody presses start, hits what a ball can hit, lets balls drain and fall into holes, works the flippers,
shakes the machine, throws coins in and opens the door now and then; sometimes a contact chatters.
"""

import hashlib

from boards.unix.trials.balls import Balls, PulseRecorder
from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.base.trace import COIL, EVENT, RECORD
from firmware.play import rows

TAKE = 20
GAPS = (15, 40, 90, 150, 250, 400, 700, 1500)  # ms to the next thing done
ACTS = (
    # what is done, how often
    ("hit", 640),
    ("flip", 120),
    ("drain", 60),
    ("fall_in", 50),
    ("chatter", 40),
    ("press", 40),
    ("shake", 20),
    ("service", 20),
    ("wait", 10),
)
WEIGHTS = tuple([often for _act, often in ACTS])
PRESSED = ("start", "start", "start", "coin.1", "coin.2", "service_key")
SERVED = ("door", "pad.open", "pad.open", "pad.more", "pad.less", "pad.leave")
LONG_WAIT = 20_000
FIRST_MS = 1_200  # the hand's first act: after pad.open could ask for safe mode


class Play:
    """One console under a random hand.

    `make` returns a console that has begun, on `outputs` or its own; times count from then on, in the
    digest as well. `run_to` is the console's, and may be replaced by something around it.
    """

    def __init__(
        self,
        make: "Callable[[PulseRecorder], Console]",
        wiring: "BallWiring",
        seed: int,
        outputs: "PulseRecorder | None" = None,
    ) -> None:
        self.outputs = outputs or PulseRecorder(len(wiring.COILS))
        self.console = make(self.outputs)
        self.begin_ms = self.console.now
        self.now = 0
        self.events = 0
        self.records = 0
        self.commands = 0
        self.changes = 0
        self.run_to: Callable[[int, bool], int] = self.console.run_to
        self._balls = Balls(wiring, self.outputs)
        self._chance = Stream(seed, 99)
        self._names = rows.names(wiring.SWITCHES)
        self._hits = [at for at, (_n, _k, zone, _r, _c) in enumerate(wiring.SWITCHES) if zone == "playfield"]
        self._buttons = [self._names.index(name) for name in ("button.left", "button.right")]
        self._act_at = FIRST_MS
        self._taken = bytearray(TAKE * RECORD)
        self._sha = hashlib.sha256()

    def go(self, ms: int) -> None:
        """Play on for so many milliseconds."""
        until = self.now + ms
        while self.now < until:
            self._apply()
            self._advance(min(until, self._next()))
            if self.outputs.any:
                self._balls.answer(self.now)
            if self.now >= self._act_at:
                self._act()

    def digest(self) -> str:
        """SHA-256 over the records since the last call, their times counted from the play's begin."""
        text = "".join([f"{byte:02x}" for byte in self._sha.digest()])
        self._sha = hashlib.sha256()
        return text

    def _next(self) -> int:
        """When the hand, or a ball, does something next."""
        at = max(self._act_at, self.now + 1)
        for change in self._balls.changes:
            if change[0] < at:
                at = max(change[0], self.now + 1)
        return at

    def _apply(self) -> None:
        """The contacts of this moment, in the order in which they were thought of."""
        balls = self._balls
        later = [change for change in balls.changes if change[0] > self.now]
        if len(later) == len(balls.changes):
            return
        for ms, switch, closed in balls.changes:
            if ms <= self.now:
                self.console.contact(switch, closed)
                self.changes += 1
        balls.changes = later

    def _advance(self, goal: int) -> None:
        """Due time by due time, so that the ring of records never fills."""
        console = self.console
        while self.now < goal:
            due = console.due()
            step = self.now + (due or 1) if 0 <= due < goal - self.now else goal
            before = console.now
            self.run_to(ticks.add(before, step - self.now), True)
            self.now += ticks.diff(console.now, before)
            self._take()
            if self.outputs.any:
                return

    def _take(self) -> None:
        trace = self.console.trace
        taken = self._taken
        while trace.held():
            n = trace.take(taken, 0, TAKE)
            self.records += n
            for i in range(n):
                at = i * RECORD
                if self.begin_ms:
                    self._shift(at)
                if taken[at + 4] == EVENT:
                    self.events += 1
                elif taken[at + 4] == COIL:
                    self.commands += 1
            self._sha.update(memoryview(taken)[: n * RECORD])
        if trace.lost:
            raise OverflowError("the ring of records was too machine")

    def _shift(self, at: int) -> None:
        """Count the time of one record from the play's begin."""
        taken = self._taken
        ms = taken[at] | taken[at + 1] << 8 | taken[at + 2] << 16 | taken[at + 3] << 24
        ms = ticks.diff(ms, self.begin_ms)
        for i in range(4):
            taken[at + i] = ms >> 8 * i & 0xFF

    # The hand --------------------------------------------------------------------------------

    def _act(self) -> None:
        chance = self._chance
        self._act_at = self.now + GAPS[chance.below(len(GAPS))]
        if self._balls.in_lane and not chance.below(3):
            self._balls.plunge(self.now)
        elif not self._balls.free and not chance.below(3):
            self._tap("start", 60)
        else:
            act, _often = ACTS[chance.weighted(WEIGHTS)]
            getattr(self, "_" + act)()

    def _hit(self) -> None:
        if self._balls.free:
            self._close(self._hits[self._chance.below(len(self._hits))], 4 + self._chance.below(40))

    def _flip(self) -> None:
        self._close(self._buttons[self._chance.below(2)], 20 + self._chance.below(600))

    def _drain(self) -> None:
        self._balls.drain(self.now)

    def _fall_in(self) -> None:
        self._balls.fall_in(self.now, self._chance.below(8))

    def _chatter(self) -> None:
        """Any contact, several times in a few milliseconds; a coil must answer it only within its limits."""
        switch = self._hits[self._chance.below(len(self._hits))]
        at = self.now
        for _ in range(2 + self._chance.below(12)):
            self._balls.changes.append((at, switch, 1))
            at += 1 + self._chance.below(12)
            self._balls.changes.append((at, switch, 0))
            at += 1 + self._chance.below(12)

    def _press(self) -> None:
        self._tap(PRESSED[self._chance.below(len(PRESSED))], 40 + self._chance.below(300))

    def _shake(self) -> None:
        self._tap("slam" if not self._chance.below(40) else "tilt", 10 + self._chance.below(60))

    def _service(self) -> None:
        """The pad; a push that finds the door closed does nothing."""
        name = SERVED[self._chance.below(len(SERVED))]
        self._tap(name, 2_000 + self._chance.below(4_000) if name == "door" else 250)

    def _wait(self) -> None:
        self._act_at = self.now + self._chance.below(10_000) + self._chance.below(LONG_WAIT - 10_000)

    def _tap(self, name: str, ms: int) -> None:
        self._close(self._names.index(name), ms)

    def _close(self, switch: int, ms: int) -> None:
        self._balls.changes.append((self.now, switch, 1))
        self._balls.changes.append((self.now + ms, switch, 0))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.console import Console
    from firmware.devices.wiring import BallWiring
