"""Ramps of a drawing: the bed of each (a closed guide) with its mouth, and the way that begins there."""

import itertools
import math

from simulator.drawing.drawing import Drawing
from simulator.drawing.geometry import Point
from simulator.drawing.items import Item
from simulator.table.shapes import Piece, holds, sides
from simulator.table.way import END_HEIGHT, Way

RAIL = 1.5  # half the thickness of a bed's side
SAME = 3.0  # mm between points of a way that count as one


class Beds:
    """Every ramp. `walls`: the sides of the beds; `switches`: those on ways, not on the playfield."""

    def __init__(self, drawing: Drawing, slope: float) -> None:
        self._drawing = drawing
        self._slope = slope
        self.walls: list[Piece] = []
        self.ways: list[Way] = []
        self.switches: set[str] = set()
        self.remarks: list[str] = []
        for item in drawing.items:
            if item.role == "guide" and item.height > 0:
                for part in item.parts:
                    for points, closed in part.outlines:
                        if closed and part.style.fill:
                            self._bed(item, points)

    def _bed(self, item: Item, outline: tuple[Point, ...]) -> None:
        marks = [mark for mark in self._drawing.marks if holds(outline, mark.x, mark.y)]
        if not marks:
            self.remarks.append(f"the ramp in line {item.line} has no switch on it, and leads nowhere")
            self.walls += [Piece(a, b, RAIL) for a, b in sides((outline, True)) if a != b]
            return
        mouth = _mouth(outline)
        at = _middle(mouth)
        marks.sort(key=lambda mark: math.dist(at, (mark.x, mark.y)))
        names = [mark.switch for mark in marks]
        self.walls += [Piece(a, b, RAIL) for a, b in sides((outline, True)) if a != b and (a, b) != mouth]
        self.switches.update(names)
        beyond = self._beyond(names[-1], outline)
        if not beyond:
            self.remarks.append(
                f"the ramp of '{names[-1]}' has no way out: "
                f"draw one as '{names[-1]}-to-NAME' in group 'route'"
            )
            return
        points = _thinned([at, *((mark.x, mark.y) for mark in marks), *beyond])
        top = len(_thinned([at, *((mark.x, mark.y) for mark in marks)])) - 1
        heights = _heights(points, top, item.height)
        name = names[-1].rpartition(".")[0] or names[-1]
        way = Way(name, points, heights, [], outline, self._slope)
        way.switches += [(mark.switch, way.starts[at]) for at, mark in enumerate(marks, 1)]
        self.ways.append(way)

    def _beyond(self, switch: str, outline: tuple[Point, ...]) -> list[Point]:
        """The points of the way after the last switch of a bed, its end included."""
        drawing = self._drawing
        goals = [b for a, b in drawing.machine.moves if a == switch and b in drawing.points]
        goals = [goal for goal in goals if not holds(outline, *drawing.points[goal])]
        goals.sort(key=lambda goal: ((switch, goal) not in drawing.paths, goal.startswith("flipper")))
        if not goals:
            return []
        path = drawing.paths.get((switch, goals[0]))
        return [*(path.points if path else ()), drawing.points[goals[0]]]


def _mouth(outline: tuple[Point, ...]) -> tuple[Point, Point]:
    """The side where balls come in: of the sides that a ball fits through, the nearest to the player."""
    long = [side for side in sides((outline, True)) if math.dist(*side) > 20]
    level = [side for side in long if abs(side[0][1] - side[1][1]) < abs(side[0][0] - side[1][0])]
    return max(level or long, key=lambda side: _middle(side)[1])


def _middle(side: tuple[Point, Point]) -> Point:
    (ax, ay), (bx, by) = side
    return (ax + bx) / 2, (ay + by) / 2


def _thinned(points: list[Point]) -> list[Point]:
    """The points without those that lie on the one before."""
    steps = itertools.pairwise(points)
    return points[:1] + [after for before, after in steps if math.dist(before, after) > SAME]


def _heights(points: list[Point], top: int, height: float) -> list[float]:
    """Rising evenly to the point `top`, then falling evenly to the end."""
    steps = [math.dist(a, b) for a, b in itertools.pairwise(points)]
    rise, fall = sum(steps[:top]), sum(steps[top:])
    found, gone = [0.0], 0.0
    for at, step in enumerate(steps, 1):
        gone += step
        if at <= top:
            found.append(height * gone / rise)
        else:
            found.append(height - (height - min(END_HEIGHT, height)) * (gone - rise) / fall)
    return found
