"""The balls on ways above the playfield, and the switches that they hold closed there."""

import itertools

from simulator.drawing.geometry import Point
from simulator.scheduler import Contacts
from simulator.table.roller import Roller
from simulator.table.way import Ride, collide

MS = 0.001


class Riding:
    """Every ball on a way of one table. `rollers`: in the order in which they came."""

    def __init__(self, contacts: Contacts) -> None:
        self.rollers: list[Roller] = []
        self._contacts = contacts
        self._pressed: dict[int, set[str]] = {}  # by the ball's number

    def add(self, roller: Roller, ride: Ride) -> None:
        """A ball comes on a way."""
        roller.ride = ride
        roller.ball.place = ride.way.name
        self.rollers.append(roller)
        self._pressed[roller.ball.number] = set()

    def remove(self, roller: Roller) -> None:
        """A ball leaves its way; the switches that it held closed open."""
        self._press(roller, set())
        self.rollers.remove(roller)

    def step(self, cabinet: Point = (0.0, 0.0)) -> list[tuple[Roller, Point, Point]]:
        """Let a millisecond pass; returns the balls that left their ways, with place and velocity.

        `cabinet`: how it accelerates (mm/s²).
        """
        for _, ride in self._rides():
            ride.step(MS, cabinet)
        if len(self.rollers) > 1:
            self._collide()
        return [left for roller, ride in self._rides() for left in self._follow(roller, ride)]

    def _rides(self) -> list[tuple[Roller, Ride]]:
        return [(roller, roller.ride) for roller in self.rollers if roller.ride is not None]

    def _collide(self) -> None:
        """Let balls on one way meet, the lowest first."""
        meeting = [ride for roller, ride in self._rides() if not roller.is_alone]
        meeting.sort(key=lambda ride: ride.s)
        for lower, upper in itertools.combinations(meeting, 2):
            if lower.way is upper.way:
                collide(lower, upper)

    def _follow(self, roller: Roller, ride: Ride) -> list[tuple[Roller, Point, Point]]:
        """Bring a ball's switches up to date; it is returned when it has left its way."""
        if 0 <= ride.s < ride.way.length:
            self._press(roller, {name for name, place in ride.way.switches if ride.is_over(place)})
            return []
        at = ride.place if ride.s < 0 else ride.way.points[-1]
        velocity = roller.velocity
        self.remove(roller)
        return [(roller, at, velocity)]

    def _press(self, roller: Roller, over: set[str]) -> None:
        pressed = self._pressed[roller.ball.number]
        for name in sorted(over - pressed):
            self._contacts.press(name)
        for name in sorted(pressed - over):
            self._contacts.release(name)
        self._pressed[roller.ball.number] = over
