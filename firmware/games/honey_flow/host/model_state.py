"""What the model of Honey Flow remembers: a player's game, a ball, and which balls are free."""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_saves import BallSaves
from firmware.games.honey_flow.host.model_switches import BUTTONS, OUTLANES

if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.play.interfaces import RuleTable

EJECT_MS = 700
TUNNEL_MS = 6_000
RAMP_MS = 3_000
SWING_MS = 500
TOPPED_MS = 2_000  # the show of the last rung


class Player:
    """What lasts a player's game."""

    def __init__(self) -> None:
        self.flights = 0
        self.times = 1
        self.full_before = self.gold_found = False
        self.turns = 0
        self.nectar_lit = False
        self.smokers: set[str] = set()
        self.frames: set[str] = set()
        self.completions = 0
        self.rung = 1
        self.ladder = "dark"
        self.topped = self.sealed = self.lock_lit = self.extra_lit = False
        self.locked = self.counted = self.extra_won = self.owed = self.kept = 0
        self.replays: set[str] = set()


class Turn:
    """What lasts a ball."""

    def __init__(self, table: "RuleTable", ladder_late: "Callable[[], None]") -> None:
        self.live = False
        self.is_new = True
        self.tilted = self.ended = self.abandoned = False
        self.aiming = True
        self.flying = False
        self.flash = 1
        self.bees = [False] * 3
        self.spins = self.cells = self.kept = 0
        self.pollen_value = 30_000
        self.guard = True
        self.side = OUTLANES[1]
        self.falls_until = 0
        self.fallen = False
        self.dance = ""
        self.swarm_ready = self.swarming = self.jar_won = False
        self.orbits = {"orbit.left": -RAMP_MS, "orbit.right": -RAMP_MS}
        self.entered: dict[str, int] = {}
        self.nectar = table.window("nectar_flow.expired")
        self.pollen = table.window("pollen_run.expired")
        self.topped_at = -TOPPED_MS
        self.ladder = table.window("wax_ladder.expired", ladder_late)
        self.step = table.window("waggle.expired", self.dance_late)
        self.cell = table.window("cell_open.expired")
        self.saves = BallSaves(table)
        self._windows = (self.nectar, self.pollen, self.ladder, self.step, self.cell, *self.saves.windows())
        self.swings = 0
        self.swung_at = -SWING_MS
        self._table = table

    def close(self) -> None:
        """The ball is over or tilted: every window closes."""
        self.live = self.is_new = False
        for window in self._windows:
            window.stop()

    def turn_side(self, switch: str) -> None:
        """15: a flipper button moves the extra ball to the other outlane."""
        if switch in BUTTONS:
            self.side = OUTLANES[self.side == OUTLANES[0]]

    def swings_anew(self, now: int) -> bool:
        """Whether a closure of the bob is a swing of its own: not within 0.5 s of the last."""
        fresh = now - self.swung_at > SWING_MS
        self.swung_at = now
        self.swings += fresh
        return fresh

    def climbs(self, made: str, now: int) -> bool:
        """Whether the ramp's enter came at most 3 s before."""
        entered = self.entered.pop(made.replace(".made", ".enter"), None)
        return entered is not None and now - entered <= RAMP_MS

    def next_step(self, step: str) -> None:
        """The dance goes on: 12 s for the next shot."""
        self.dance = step
        self.step.start(12_000)

    def end_dance(self) -> None:
        """The dance is danced; bee lanes make it available again."""
        self.dance = ""
        self.step.stop()

    def dance_late(self) -> None:
        """Back to the start."""
        self.dance = "orbit.left"


class Unseen:
    """Switches that were not seen for many balls: banks and lanes do without them."""

    def __init__(self, balls: int) -> None:
        self._limit = balls
        self._balls: dict[str, int] = {}
        self._seen: set[str] = set()

    def saw(self, switch: str) -> None:
        """It closed."""
        self._seen.add(switch)
        self._balls[switch] = 0

    def ball_over(self, switches: "tuple[str, ...]") -> None:
        """A ball ended."""
        for switch in switches:
            self._balls[switch] = 0 if switch in self._seen else self._balls.get(switch, 0) + 1
        self._seen.clear()

    def fills(self, switches: "tuple[str, ...]", lit: "set[str]") -> bool:
        """Whether all are lit but those that were not seen; when none was seen, whether all are."""
        seen = [switch for switch in switches if not self._is_out(switch)]
        return all(switch in lit for switch in seen or switches)

    def _is_out(self, switch: str) -> bool:
        return 0 < self._limit <= self._balls.get(switch, 0)


class FreeBalls:
    """Counts free balls (section Timing) and those in the hive from debounced edges."""

    def __init__(self, table: "RuleTable", into_hive: "Callable[[], None]") -> None:
        self._table = table
        self.hive = 0
        self._into_hive = into_hive
        self._throws = self._left = False
        self._tunnel = self._due = 0
        self._ramp = 0
        self._entered_at = 0

    def all_home(self) -> None:
        """None is in the tunnel or on a ramp."""
        self._tunnel = 0
        self._ramp = 0

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""
        if switch.startswith("hive."):
            self._hive(switch, closed)
        elif switch == "queen_cell" and closed:
            self._into_tunnel()
        elif switch == "porch":
            self._porch(closed)

    def playfield(self, switch: str) -> None:
        """A playfield switch closed: a ball on a ramp is free again; `enter` puts one there."""
        if self._ramp:
            self.off_ramp(self._ramp)
        if not self._tunnel:
            self._table.on_playfield()
        if switch.endswith(".enter"):
            self._table.free -= 1
            until = self._table.now + RAMP_MS
            self._ramp = until
            self._table.later(until, lambda: self.off_ramp(until))

    def off_ramp(self, until: int) -> None:
        """The ball that entered a ramp at `until` less 3 s is free."""
        if self._ramp == until:
            self._ramp = 0
            self._table.free += 1

    def _into_tunnel(self) -> None:
        self._tunnel += 1
        self._table.free -= 1
        self._wait_in_tunnel()

    def _wait_in_tunnel(self) -> None:
        self._due = self._table.now + TUNNEL_MS + 1  # a switch at the limit itself is in time
        until = self._due
        self._table.later(until, lambda: self._overdue(until))

    def _overdue(self, until: int) -> None:
        if until != self._due:
            return
        if self._tunnel and self._table.closed("porch"):
            self._wait_in_tunnel()
        else:
            self._table.free += self._tunnel
            self._tunnel = 0

    def _porch(self, closed: bool) -> None:
        if not closed:
            self._table.free += 1
        elif self._tunnel:
            self._tunnel -= 1
            self._wait_in_tunnel()
        else:
            self._table.free -= 1

    def _hive(self, switch: str, closed: bool) -> None:
        if self._throws:
            if switch == "hive.1" and not closed and not self._left:
                self._left = True
                self._table.free += 1
        else:
            self._count_hive()

    def moved(self) -> None:
        """Balls in the hive came, or are let go."""
        self._entered_at = self._table.now

    def rests_for(self, ms: int) -> bool:
        """Whether no ball came into the hive, and none was let go, for so long."""
        return self._table.now - self._entered_at >= ms

    def hive_ejects(self) -> None:
        """The hive's coil throws a ball out; 0.7 s later the balls in it are counted again."""
        self._throws, self._left = True, False
        self._table.later(self._table.now + EJECT_MS, self._thrown)

    def _thrown(self) -> None:
        self.hive -= self._left
        self._throws = False
        self._count_hive()

    def _count_hive(self) -> None:
        there = self._table.closed("hive.1") + self._table.closed("hive.2")
        while self.hive < there:
            self.hive += 1
            self.moved()
            self._table.free -= 1
            self._into_hive()
        self._table.free += self.hive - there
        self.hive = there
