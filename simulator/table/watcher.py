"""A simulated player with eyes: sees balls near the bats, and flips when one is where it wants it."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from firmware.base.chance import Stream
from simulator.table.bat import PIVOT, SwingingBat
from simulator.table.materials import RADIUS
from simulator.table.roller import Roller
from simulator.table.rolling_table import RollingTable

DRAWS = 16  # number of the random stream
EARLIEST, LATEST = 0.5, 1.0  # of the bat's length, from where it shoots
HOLD_MS = 110
PULL_MS = (450, 900)  # how long the plunger is pulled
WAIT_MS = 600  # before a ball in the shooter lane is played
CLOSE = 14.0  # mm between a ball and the bat, within which it is shot
LATE_MS = 12  # the player is early or late by as much at most
GAP_MS = 90  # between two flips of a bat
PARTS = 1 << 8

Press = Callable[[str, bool], None]


@dataclass
class Hand:
    """One of the player's hands: the bat and its button."""

    bat: SwingingBat
    button: str
    aim: float
    flip_ms: int | None = None  # when it presses
    let_go_ms: int | None = None
    free_ms: int = 0  # when it may press again


class Watcher:
    """Plays one table, once a game was started; `press` closes and opens the contacts of the buttons."""

    def __init__(
        self,
        table: RollingTable,
        buttons: dict[str, str],
        press: Press,
        plunge: Callable[[bool], None],
        seed: int,
    ) -> None:
        """`buttons`: of each bat, by its name. `plunge`: begins to pull the plunger, or lets it go."""
        self._table = table
        self._press = press
        self._plunger = plunge
        self._draws = Stream(seed, DRAWS)
        self._pull_ms: int | None = None
        self._let_go_ms: int | None = None
        self.hands = [Hand(bat, buttons[bat.name], self._aim()) for bat in table.bats if bat.name in buttons]

    def look(self, now_ms: int) -> None:
        """Look at the table, and press or let go what is due."""
        self._plunge(now_ms)
        for hand in self.hands:
            self._play(hand, now_ms)

    def _play(self, hand: Hand, now_ms: int) -> None:
        if hand.let_go_ms is not None:
            if now_ms >= hand.let_go_ms:
                self._press(hand.button, False)
                hand.let_go_ms, hand.free_ms = None, now_ms + GAP_MS
            return
        ripe = any(self._is_ripe(hand, roller) for roller in self._table.field.rollers)
        if ripe and hand.flip_ms is None and now_ms >= hand.free_ms:
            hand.flip_ms = now_ms + self._draws.below(LATE_MS + 1)
        if hand.flip_ms is not None and now_ms >= hand.flip_ms:
            self._press(hand.button, True)
            hand.flip_ms, hand.let_go_ms = None, now_ms + HOLD_MS
            hand.aim = self._aim()

    def _is_ripe(self, hand: Hand, roller: Roller) -> bool:
        """Whether a ball is at the place of the bat that it is to be shot from, or about to pass it."""
        bat = hand.bat
        x, y = roller.place
        dx, dy = x - bat.pivot[0], y - bat.pivot[1]
        u, v = math.cos(bat.rest_angle), math.sin(bat.rest_angle)
        along = (dx * u + dy * v) / bat.length
        away = abs(dx * v - dy * u) - RADIUS - PIVOT
        falls = max(0.0, roller.velocity[1]) * 0.02  # mm until the bat is up
        return hand.aim <= along < 1.25 and -RADIUS < away < CLOSE + falls

    def _plunge(self, now_ms: int) -> None:
        table = self._table
        waits = any(table.devices[lane.device].ready_ball() for lane in table.layout.lanes)
        if self._let_go_ms is not None:
            if now_ms >= self._let_go_ms:
                self._plunger(False)
                self._pull_ms = self._let_go_ms = None
        elif not waits:
            self._pull_ms = None
        elif self._pull_ms is None:
            self._pull_ms = now_ms + WAIT_MS
        elif now_ms >= self._pull_ms:
            self._plunger(True)
            self._let_go_ms = now_ms + PULL_MS[0] + self._draws.below(PULL_MS[1] - PULL_MS[0])

    def _aim(self) -> float:
        return EARLIEST + (LATEST - EARLIEST) * self._draws.below(PARTS) / PARTS
