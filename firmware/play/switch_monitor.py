"""Switch monitor: finds contacts that chatter, stick or never close, so that rules can do without them.

A switch that is not to be relied on is *excused*: its light in a bank or a row of lanes counts as lit.
A chattering one is also *muted*: the rules do not hear it until the next ball.
"""

from firmware.base import ticks
from firmware.base.numbers import BYTE, WORD, zeros
from firmware.play.counts import Counts
from firmware.play.faults import Faults
from firmware.play.rows import debounce_classes, names, zones

RECENT = 20  # edges remembered, for the operator
LOOK = 20_000  # a contact closed and silent through two looks in a row is stuck
STORM = 20  # closures in a second that no ball and no hand makes
SPIN = 80  # the same for a spinner
UNSEEN_BALLS = 40  # a playfield switch that did not close for so many balls is reported
LONG_CLOSED = ("rest", "lane", "flipper", "service")  # classes whose contacts may rest closed
COIN = "coin"


class SwitchMonitor:
    """Per switch: what it did lately. `record_edge` takes every debounced edge; it allocates nothing."""

    def __init__(self, wiring: "WiringTables", play: "RuleContext") -> None:
        count = len(wiring.SWITCHES)
        self.excused = bytearray(count)
        self.muted = bytearray(count)
        self.recent = zeros(RECENT, BYTE)  # switch numbers, the newest at `at` − 1
        self.recent_closed = zeros(RECENT, BYTE)
        self.recent_ms = zeros(RECENT, WORD)
        self.at = 0
        self.held = 0
        self.unseen_balls = UNSEEN_BALLS
        latched = getattr(wiring, "LATCHED", ())
        classes = debounce_classes(wiring.SWITCHES)
        switch_names = names(wiring.SWITCHES)
        self._coin = bytearray([each == COIN for each in classes])
        self._playfield = bytearray([zone == "playfield" for zone in zones(wiring.SWITCHES)])
        self._sticks = bytearray(
            [classes[i] not in LONG_CLOSED and switch_names[i] not in latched for i in range(count)]
        )
        self._most = bytearray([SPIN if each == "spinner" else STORM for each in classes])
        self._second = zeros(count, WORD)
        self._storm = zeros(count, BYTE)
        self._silent = zeros(count, BYTE)
        self._bad = bytearray(count)
        self._closed: bytearray = play.closed
        self._faults: Faults = play.faults
        self._counts: Counts = play.counts
        self._timers = play.timers
        self._clock = play.clock(self._look)
        self._looking = False  # the clock runs

    def record_edge(self, switch: int, closed: int) -> None:
        """A debounced edge of `switch`."""
        at = self.at
        self.recent[at] = switch
        self.recent_closed[at] = closed
        self.recent_ms[at] = self._timers.now
        self.at = at + 1 if at + 1 < RECENT else 0
        if self.held < RECENT:
            self.held += 1
        self._silent[switch] = 0
        if closed:
            self._counts.closed(switch)
            if self.excused[switch] and not self._bad[switch]:
                self.excused[switch] = 0  # it was unseen
            if not self._looking and self._sticks[switch]:
                self._looking = True
                self._clock.start(LOOK)
            self._count_storm(switch)

    def ball_over(self) -> None:
        """Between two balls: who is excused in the next one."""
        self._counts.ball_over(self._playfield)
        for switch in range(len(self.excused)):
            bad = self._bad[switch]
            self._bad[switch] = 0
            self.muted[switch] = 0
            if self._playfield[switch]:
                if self._sticks[switch] and self._closed[switch] and self._silent[switch]:
                    bad = 1
                unseen = self.unseen_balls and self._counts.unseen[switch] >= self.unseen_balls
                if unseen and not self.excused[switch]:
                    self._faults.report("switch_unseen", switch)
                self.excused[switch] = 1 if bad or unseen else 0

    def _count_storm(self, switch: int) -> None:
        now = self._timers.now
        if (now - self._second[switch]) & ticks.MASK >= 1000:
            self._second[switch] = now
            self._storm[switch] = 1
            return
        storm = self._storm[switch]
        if storm < BYTE:
            self._storm[switch] = storm + 1
        if storm + 1 == self._most[switch]:
            self._faults.report("switch_chatters", switch)
            self._excuse(switch)
            self.muted[switch] = 1

    def _look(self) -> None:
        again = False
        for switch in range(len(self._closed)):
            if self._closed[switch] and self._sticks[switch]:
                again = True
                if self._silent[switch] == 1:
                    self._faults.report("coin_jam" if self._coin[switch] else "switch_stuck", switch)
                    self._excuse(switch)
                if self._silent[switch] < 2:
                    self._silent[switch] += 1
        self._looking = again
        if again:
            self._clock.start(LOOK)

    def _excuse(self, switch: int) -> None:
        if self._playfield[switch]:
            self._bad[switch] = 1
            self.excused[switch] = 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import WiringTables
    from firmware.play.rule_context import RuleContext
