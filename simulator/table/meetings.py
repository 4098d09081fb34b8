"""What happens where a ball meets something: contacts, targets, spinners, holes, ramps and the drain."""

import math
from typing import TYPE_CHECKING

from simulator.table.field import Meeting, face_part
from simulator.table.layout import Hole, ShooterLane
from simulator.table.materials import GRAVITY, RADIUS, TOUCH
from simulator.table.roller import STRUCK_MS, Roller
from simulator.table.shapes import holds
from simulator.table.way import Ride, Way

if TYPE_CHECKING:
    from simulator.table.rolling_table import RollingTable

BACKED = 4000.0  # mm/s: faster balls jump out of a hole although something stopped them
DRAIN_MS = 300  # from the drain to the trough
LEAST_GRIP = 2.0  # mm of a ball's middle inside a hole's rim, before which it rolls past


class Meetings:
    """Answers the meetings of one table. `targets`: the drop targets that it has in its drawing."""

    def __init__(self, table: "RollingTable") -> None:
        layout = table.layout
        self._table = table
        self._touched = {one.name: one for one in layout.touched}
        self._rollovers = {one.name for one in layout.rollovers}
        self._spinners = {one.name: one for one in layout.spinners}
        self._lanes = {one.device: one for one in layout.lanes}
        self.targets = {one.name for one in layout.touched if one.name in table.drop_targets}
        self._ways = [(way, _box(way)) for way in layout.ways]
        self._drain = layout.drain

    def answer(self) -> None:
        """Answer every meeting of the last millisecond, then look where each ball is."""
        for meeting in self._table.field.take_meetings():
            self._answer(meeting)
        for hole in self._table.layout.holes:
            for roller in list(self._table.field.over[hole.name]):
                self._hole(hole, roller)
        for roller in list(self._table.field.rollers):
            self._look(roller)

    def _answer(self, meeting: Meeting) -> None:
        name = meeting.name
        contacts = self._table.contacts
        if name in self._rollovers:
            (contacts.press if meeting.begins else contacts.release)(name)
        elif name in self._touched:
            self._hit(meeting)
        elif name in self._spinners and meeting.begins:
            body = meeting.roller.body
            body.velocity = self._spinners[name].hit((body.velocity.x, body.velocity.y))
        elif name in self._lanes and meeting.begins:
            self._come_back(self._lanes[name], meeting.roller)
        elif not meeting.begins and meeting.roller.left == name:
            meeting.roller.left = ""

    def _hit(self, meeting: Meeting) -> None:
        touched = self._touched[meeting.name]
        if meeting.speed < TOUCH or (touched.face and face_part(touched.face, meeting.at) < 0):
            return
        if touched.name in self.targets:
            self._table.drop_targets[touched.name].knock_down()
        else:
            self._table.touch(touched.name)

    def _come_back(self, lane: ShooterLane, roller: Roller) -> None:
        u, v = roller.velocity
        if u * lane.out[0] + v * lane.out[1] < 0 and roller in self._table.field.rollers:
            self._table.take_in(roller, lane.device)

    def _hole(self, hole: Hole, roller: Roller) -> None:
        """A ball falls in when it is slow enough, or when something has just stopped it."""
        if roller.left == hole.name or roller not in self._table.field.rollers:
            return
        struck = self._table.now - roller.struck_ms < STRUCK_MS
        limit = BACKED if struck else falling_speed(hole.radius)
        if math.dist(roller.place, hole.middle) > hole.radius - LEAST_GRIP or roller.speed > limit:
            return
        roller.taken = hole.name
        if hole.steps:
            self._table.field.remove(roller)
            roller.ball.travel(hole.name, self._table.now, self._table.now)
            self._table.travel(roller.ball, hole.steps)
        elif not self._table.devices[hole.device].is_full():
            self._table.take_in(roller, hole.device)

    def _look(self, roller: Roller) -> None:
        x, y = roller.place
        for way, (left, top, right, bottom) in self._ways:
            if left < x < right and top < y < bottom and holds(way.bed, x, y):
                self._climb(way, roller)
                return
        drain = self._drain
        if y > drain[1] - RADIUS and self._table.field.sees((x, y), drain):
            self._table.take_in(roller, self._table.book.home, DRAIN_MS)

    def _climb(self, way: Way, roller: Roller) -> None:
        u, v = way.direction(0.0)
        x, y = roller.place
        (mx, my), (p, q) = way.points[0], roller.velocity
        aside = (x - mx) * -v + (y - my) * u
        s = max(0.0, (x - mx) * u + (y - my) * v)
        self._table.mount(roller, Ride(way, s, p * u + q * v, aside))


def falling_speed(radius: float) -> float:
    """The speed (mm/s) up to which a ball falls into a round hole whose middle it crosses.

    Its middle has 2R − r of free way, and has to fall by r in that time (B. W. Holmes, "Putting: how a golf
    ball and hole interact", American Journal of Physics 59, 1991).
    """
    return max(0.0, 2 * radius - RADIUS) * math.sqrt(GRAVITY / (2 * RADIUS))


def _box(way: Way) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in way.bed], [y for _, y in way.bed]
    return min(xs), min(ys), max(xs), max(ys)
