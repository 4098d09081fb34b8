"""Where a ball can get to on a table, and what it can never meet: places of a grid, joined from the bats.

Gates count as open and drop targets as down; ramps and holes lead on to their other ends.
"""

import math
from collections import deque
from dataclasses import dataclass, field

import pymunk

from simulator.drawing.geometry import Point
from simulator.table.field import GATE_TYPE, SENSOR_TYPE
from simulator.table.materials import RADIUS
from simulator.table.rolling_table import RollingTable
from simulator.table.shapes import distance, holds

CELL = 4.0  # mm between places
TOUCHES = CELL + 2.0  # mm from a ball's edge, within which it can be moved to touch something
LESS = 0.75  # mm that a ball may be pressed in, since places are on a grid

Cell = tuple[int, int]


@dataclass
class Reached:
    """Where a ball can be, the first place where it gets off the page, and what it can never meet."""

    free: list[Point] = field(default_factory=list)
    escape: Point | None = None
    unmet: list[str] = field(default_factory=list)


class Reach:
    """One search on a table that nothing plays."""

    def __init__(self, table: RollingTable) -> None:
        self._table = table
        self._space = table.field.space
        self._width, self._height = table.drawing.size
        self._seen: set[Cell] = set()
        self._free: list[Point] = []
        for name in table.drop_targets:
            if any(touched.name == name for touched in table.layout.touched):
                table.field.set_solid(name, False)

    def search(self) -> Reached:
        """Join the free places from the bats and the shooter lanes, and see what lies beside them."""
        found = Reached()
        waiting = deque(self._starts())
        self._seen.update(waiting)
        while waiting:
            cell = waiting.popleft()
            at = cell[0] * CELL, cell[1] * CELL
            if not (0 < at[0] < self._width and 0 < at[1] < self._height):
                found.escape = found.escape or at
                continue
            if self._is_drained(at) or self._is_behind_a_plunger(at) or not self._is_free(at):
                continue
            self._free.append(at)
            for more in self._neighbours(cell, at):
                if more not in self._seen:
                    self._seen.add(more)
                    waiting.append(more)
        found.free, found.unmet = self._free, self._unmet()
        return found

    def _starts(self) -> list[Cell]:
        """Places above the bats, and at the plungers."""
        table = self._table
        at = [(bat.pivot[0], bat.pivot[1] - 3 * RADIUS) for bat in table.bats]
        at += [((lane.start[0] + lane.end[0]) / 2, lane.start[1] - RADIUS) for lane in table.layout.lanes]
        return [_cell(point) for point in at]

    def _neighbours(self, cell: Cell, at: Point) -> list[Cell]:
        x, y = cell
        found = [(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)]
        for way in self._table.layout.ways:
            if holds(way.bed, *at):
                found.append(_cell(way.points[-1]))
        for hole in self._table.layout.holes:
            if math.dist(hole.middle, at) < hole.radius:
                found += [
                    _cell(point) for point in self._exits(hole.device or str(hole.steps[-1].arguments[1]))
                ]
        return found

    def _exits(self, device: str) -> list[Point]:
        """Where a ball comes out of a device: at the end of its kick's arrow."""
        kicker = self._table.layout.kickers.get(self._table.devices[device].row.coil)
        if kicker is None:
            return []
        (ax, ay), (bx, by) = kicker.start, kicker.end
        length = math.dist(kicker.start, kicker.end) or 1.0
        start = self._table.drawing.points[self._table.devices[device].point(0)]
        return [
            (start[0] + (bx - ax) / length * step, start[1] + (by - ay) / length * step)
            for step in (16, 32, 48)
        ]

    def _is_free(self, at: Point) -> bool:
        hits = self._space.point_query(at, RADIUS - LESS, pymunk.ShapeFilter())
        return all(
            hit.shape is not None and hit.shape.collision_type in (SENSOR_TYPE, GATE_TYPE) for hit in hits
        )

    def _is_drained(self, at: Point) -> bool:
        drain = self._table.layout.drain
        return at[1] > drain[1] - RADIUS and self._table.field.sees(at, drain)

    def _is_behind_a_plunger(self, at: Point) -> bool:
        """Whether a ball would lie behind the line at which a shooter lane takes it."""
        for lane in self._table.layout.lanes:
            x, y = at[0] - (lane.start[0] + lane.end[0]) / 2, at[1] - (lane.start[1] + lane.end[1]) / 2
            u, v = lane.out
            if x * u + y * v < -RADIUS and abs(x * v - y * u) < 2 * RADIUS:
                return True
        return False

    def _unmet(self) -> list[str]:
        """Everything with a name that no free place is beside, in the drawing's order."""
        layout = self._table.layout
        pieces = {one.name: list(one.pieces) for one in layout.rollovers}
        lines = {name: [(piece.start, piece.end) for piece in found] for name, found in pieces.items()}
        lines |= {one.name: [(one.start, one.end)] for one in layout.spinners}
        unmet = [name for name, found in lines.items() if not self._any_beside(found)]
        unmet += [one.name for one in layout.touched if not self._any_touches(one.name)]
        for way in layout.ways:
            if not any(holds(way.bed, *at) for at in self._free):
                unmet += [name for name, _ in way.switches]
        unmet += [
            hole.name
            for hole in layout.holes
            if not any(math.dist(hole.middle, at) < hole.radius for at in self._free)
        ]
        return unmet

    def _any_beside(self, lines: list[tuple[Point, Point]]) -> bool:
        return any(distance(at, *line) < RADIUS for at in self._free for line in lines)

    def _any_touches(self, name: str) -> bool:
        shapes = self._table.field.shapes_of(name)
        box = shapes[0].bb
        for shape in shapes[1:]:
            box = box.merge(shape.bb)
        near = RADIUS + TOUCHES
        for x, y in self._free:
            inside = box.left - near < x < box.right + near and box.bottom - near < y < box.top + near
            if inside and any(shape.point_query((x, y)).distance < near for shape in shapes):
                return True
        return False


def _cell(at: Point) -> Cell:
    return round(at[0] / CELL), round(at[1] / CELL)
