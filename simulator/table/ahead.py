"""How long nothing can happen on a table: so long the target may run ahead before the balls are moved.

A ball cannot meet anything with a contact sooner than its distance allows at the highest speed it may get.
"""

import math
from typing import TYPE_CHECKING

import pymunk

from simulator.table.layout import Solid
from simulator.table.materials import RADIUS
from simulator.table.roller import Roller
from simulator.table.shapes import Disc, Piece, distance

if TYPE_CHECKING:
    from simulator.table.rolling_table import RollingTable

LONGEST_MS = 16
MORE_SPEED = 20.0  # mm/s that gravity adds in LONGEST_MS, and some
MORE_ON_A_WAY = 130.0  # the same on a ramp
SPARE = 1.0  # mm by which distances are taken shorter


class Ahead:
    """Looks ahead on one table."""

    def __init__(self, table: "RollingTable") -> None:
        self._table = table
        layout = table.layout
        self._space = pymunk.Space()
        solids: list[Solid] = [solid for touched in layout.touched for solid in touched.solids]
        solids += [piece for rollover in layout.rollovers for piece in rollover.pieces]
        solids += [Piece(spinner.start, spinner.end, 1.0) for spinner in layout.spinners]
        solids += [Piece(lane.start, lane.end, 1.0) for lane in layout.lanes]
        solids += [Disc(hole.middle, hole.radius) for hole in layout.holes]
        for solid in solids:
            self._space.add(_shape(self._space.static_body, solid))
        self._drain = layout.drain[1] - RADIUS
        self._mouths = [_mouth(way.bed) for way in layout.ways]

    def quiet_ms(self) -> int:
        """For how many ms nothing with a contact can be met, 1 to LONGEST_MS."""
        table = self._table
        if table.shaking.is_moving or any(bat.is_swinging(table.now) for bat in table.bats):
            return 1
        quiet = float(LONGEST_MS)
        for spinner in table.layout.spinners:
            if spinner.speed:
                quiet = min(quiet, 1000 * spinner.left / abs(spinner.speed))
        for roller in table.riders:
            quiet = min(quiet, self._on_a_way(roller))
        speed = math.sqrt(sum(roller.speed**2 for roller in table.field.rollers)) + MORE_SPEED
        for roller in table.field.rollers:
            quiet = min(quiet, 1000 * self._room(roller) / speed)
            if quiet < 2:
                return 1
        return max(1, int(quiet))

    def _room(self, roller: Roller) -> float:
        """The mm that a ball may move before it meets anything."""
        at = roller.place
        near = self._space.point_query_nearest(at, 400.0, pymunk.ShapeFilter())
        room = near.distance - RADIUS if near is not None else 400.0
        room = min(room, self._drain - at[1], *(distance(at, *mouth) for mouth in self._mouths))
        return room - SPARE

    def _on_a_way(self, roller: Roller) -> float:
        """A ball on a way may get the speed of any other there, by meeting it."""
        ride = roller.ride
        assert ride is not None
        rides = (other.ride for other in self._table.riders)
        fastest = max(abs(other.speed) for other in rides if other and other.way is ride.way)
        edges = [abs(abs(ride.s - place) - RADIUS) for _, place in ride.way.switches]
        room = min(ride.s, ride.way.length - ride.s, *edges) - SPARE
        return 1000 * room / (fastest + MORE_ON_A_WAY)


def _mouth(bed: list[tuple[float, float]]) -> tuple[tuple[float, float], tuple[float, float]]:
    """The lowest side of a bed, from its one low corner to the other."""
    first, second = sorted(bed, key=lambda point: -point[1])[:2]
    return first, second


def _shape(body: pymunk.Body, solid: Solid) -> pymunk.Shape:
    if isinstance(solid, Disc):
        return pymunk.Circle(body, solid.radius, solid.middle)
    return pymunk.Segment(body, solid.start, solid.end, solid.half)
