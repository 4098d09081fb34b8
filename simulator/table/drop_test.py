"""Drops balls on a table without rules: where they leave it or come to rest, and what they meet.

They do not meet each other. A contact with a reflex fires its coil; what takes a ball in ends that ball.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import pymunk

from firmware.base.chance import Stream
from simulator.ball import Ball
from simulator.drawing.geometry import Point
from simulator.routes import Step
from simulator.table.materials import RADIUS
from simulator.table.roller import Roller
from simulator.table.rolling_table import RollingTable

DRAWS = 17  # number of the random stream
REST_MS = 5000  # for as long a ball may lie within REST mm
REST = 12.0
FASTEST = 3000  # mm/s of a ball that is dropped
PULSE_MS = 20
FLIP_MS = 250
WATCH_MS = 20  # between two looks at a ball
FIRST = 1000  # number of the first ball that is dropped
LIFT_MS = 1500  # between two pulses that raise drop targets
LIFT = 100  # ms of that pulse
PARTS = 1 << 10
SIDES = ("left", "right")  # a nudge


@dataclass
class Found:
    """What was found: points (mm) where balls left and where they rested, contacts that they closed."""

    balls: int = 0
    left: list[Point] = field(default_factory=list)
    rested: list[Point] = field(default_factory=list)
    contacts: set[str] = field(default_factory=set)
    longest_ms: int = 0  # that a ball lay still
    nudges: int = 0  # since one lay still


@dataclass
class _Watch:
    """A ball as it is watched: where it lay, and since when."""

    at: Point
    since_ms: int
    was_nudged: bool = False


class DropTest:
    """One run on a table that nothing else plays. `places`: where balls are dropped, as Reach finds them."""

    def __init__(self, table: RollingTable, seed: int, places: Sequence[Point]) -> None:
        self._table = table
        self._places = places
        self._draws = Stream(seed, DRAWS)
        self._reflexes = table.drawing.machine.reflexes
        self._lifts = sorted({target.row.coil for target in table.drop_targets.values()})
        self._watched: dict[int, _Watch] = {}
        self._nudges = False
        self.found = Found()

    def run(self, balls: int, lasts_ms: int, again: bool = False) -> Found:
        """Drop so many balls at once and let them roll for as long.

        `again`: those that were taken in are dropped again, the bats flip now and then, and when a ball has
        lain still for REST_MS the cabinet is nudged; it rests when it then lies for as long again.
        """
        self._nudges = again
        for number in range(balls):
            self._drop(number)
        end = self._table.now + lasts_ms
        while self._table.now < end and (again or self._table.rollers):
            self._step()
            if again:
                self._flip()
                self._drop_again(balls)
        return self.found

    def _drop_again(self, balls: int) -> None:
        """Drop those again that were taken in."""
        if self._table.now % WATCH_MS == 0:
            rolling = {roller.ball.number for roller in self._table.rollers}
            for number in range(balls):
                if FIRST + number not in rolling:
                    self._drop(number)

    def _flip(self) -> None:
        """A flip of each bat every FLIP_MS or so, at times drawn by seed."""
        for bat in self._table.bats:
            if not self._draws.below(FLIP_MS):
                self._table.coil(bat.row.strong, PULSE_MS, self._table.now + 1)

    def _drop(self, number: int) -> None:
        at = self._free_place()
        turn, speed = 2 * math.pi * self._part(), FASTEST * self._part()
        ball = Ball(FIRST + number, "playfield")
        roller = self._table.roll(ball, at, (speed * math.cos(turn), speed * math.sin(turn)))
        roller.pass_balls()
        self._watched[ball.number] = _Watch(at, self._table.now)
        self.found.balls += 1

    def _free_place(self) -> Point:
        """A place where a ball lies clear of everything, above the drain."""
        low = self._table.layout.drain[1] - 2 * RADIUS
        while True:
            at = self._places[self._draws.below(len(self._places))]
            if at[1] < low and not self._table.field.space.point_query(at, RADIUS, pymunk.ShapeFilter()):
                return at

    def _part(self) -> float:
        return self._draws.below(PARTS) / PARTS

    def _step(self) -> None:
        table = self._table
        if table.now % LIFT_MS == 0:
            for coil in self._lifts:
                table.coil(coil, LIFT, table.now + 1)
        for name, closed in table.take(table.now + 1):
            if closed:
                self.found.contacts.add(name)
                if name in self._reflexes:
                    table.coil(self._reflexes[name], PULSE_MS, table.now + 1)
        if table.now % WATCH_MS == 0:
            for roller in table.rollers:
                self._watch(roller)

    def _watch(self, roller: Roller) -> None:
        x, y = at = roller.place
        width, height = self._table.drawing.size
        watch = self._watched[roller.ball.number]
        if not (0 < x < width and 0 < y < height):
            self.found.left.append(watch.at)
            self._table.forget(roller)
        elif math.dist(at, watch.at) > REST:
            self._watched[roller.ball.number] = _Watch(at, self._table.now)
        elif self._table.now - watch.since_ms <= REST_MS:
            self.found.longest_ms = max(self.found.longest_ms, self._table.now - watch.since_ms)
        elif self._nudges and not watch.was_nudged:
            self._table.shaking.push(SIDES[self._draws.below(len(SIDES))])
            self.found.nudges += 1
            watch.since_ms, watch.was_nudged = self._table.now, True
        else:
            self.found.rested.append(at)
            self._table.forget(roller)


class DropTable(RollingTable):
    """A table for a drop test: what takes a ball in ends that ball."""

    def take_in(self, roller: Roller, device: str, after_ms: int = 0) -> None:
        """Take the ball off the table; the contacts of the device count as closed."""
        self.forget(roller)
        for switch in self.devices[device].row.switches:
            self.touch(switch)

    def travel(self, ball: Ball, steps: Iterable[Step]) -> None:
        """A ball that was taken into a tunnel is gone; the contacts on its way count as closed."""
        for step in steps:
            if step.verb == "hit":
                self.touch(str(step.arguments[1]))
