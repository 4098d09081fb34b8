"""What a player sees from the flippers: where each shot lies, and which lamp asks for which shot."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from simulator.routes import RouteBook, Shot, Step

Point = tuple[float, float]
WIDEST = 550  # tenths of a degree from straight up: what lies beyond is no shot of a flipper
NEARER = 10  # tenths of a degree that each 100 mm of way make a shot less likely to be hit by a miss
FROM = "playfield"


class Aim(NamedTuple):
    """A lamp that asks for a shot: while it is lit, or while it is dark, as a bank's do; `worth` from 1."""

    lamp: str
    shot: str
    worth: int = 1
    while_dark: bool = False


class Target(NamedTuple):
    """A shot: tenths of a degree from straight up, to the right positive, and mm from the flippers."""

    shot: str
    angle: int
    way: int


@dataclass(frozen=True)
class Sight:
    """What a player can shoot at (`targets`, left to right), the lamps that ask for it, and how balls end.

    `loose`: where a ball goes that nobody aims, with weights. `middle`, `sides`: shots that end a ball
    without and with a switch on the way.
    """

    targets: tuple[Target, ...]
    aims: tuple[Aim, ...]
    loose: tuple[tuple[str, int], ...]
    middle: tuple[str, ...]
    sides: tuple[str, ...]

    def target(self, shot: str) -> Target | None:
        """Where a shot lies; None: it cannot be aimed at."""
        return next((target for target in self.targets if target.shot == shot), None)

    def reached(self, aimed: Target, error: int) -> str:
        """The shot that a ball makes which leaves `error` tenths of a degree beside `aimed`."""
        angle = aimed.angle + error
        nearest = min(self.targets, key=lambda target: _cost(target, angle))
        alike = [t.shot for t in self.targets if t[1:] == nearest[1:]]
        return alike[0] if abs(angle - nearest.angle) <= 20 else alike[-1]


def sight_of(
    book: RouteBook,
    points: Mapping[str, Point],
    flippers: Point,
    lamps: Sequence[str],
    given: Sequence[Aim],
    odds: Sequence[tuple[str, int]],
) -> Sight:
    """The sight of a game's player.

    `points`, `flippers`: of its drawing, mm; `given`: aims that its author wrote, over those that follow from
    lamps and switches of one name; `odds`: of balls that nobody aims, () for every shot alike.
    """
    shots = [shot for shot in book.shots.values() if shot.start == FROM]
    ends = [shot for shot in shots if _ends(book, shot.steps)]
    sides = tuple(shot.name for shot in ends if _switches(shot.steps))
    middle = tuple(shot.name for shot in ends if shot.name not in sides)
    targets = sorted(_targets(shots, points, flippers), key=lambda target: target.angle)
    loose = tuple(odds) or tuple((shot.name, 1) for shot in shots)
    return Sight(
        tuple(targets),
        tuple(_aims(book, targets, lamps, given)),
        tuple(row for row in loose if row[0] not in (*middle, *sides)),
        middle,
        sides,
    )


def _targets(shots: Sequence[Shot], points: Mapping[str, Point], flippers: Point) -> Iterator[Target]:
    for shot in shots:
        first = next((name for name in _names(shot.steps) if name in points), "")
        if first:
            x, y = points[first][0] - flippers[0], flippers[1] - points[first][1]
            angle = round(math.degrees(math.atan2(x, y)) * 10)
            if abs(angle) <= WIDEST:
                yield Target(shot.name, angle, round(math.hypot(x, y)))


def _aims(
    book: RouteBook, targets: Sequence[Target], lamps: Sequence[str], given: Sequence[Aim]
) -> Iterator[Aim]:
    """Given ones, then lamps named as a switch that a shot closes; a row of them asks while dark."""
    yield from given
    known = {aim.lamp for aim in given}
    for target in targets:
        for switch in _switches(book.shots[target.shot].steps)[:1]:
            named = [lamp for lamp in lamps if _plain(lamp) == _plain(switch) and lamp not in known]
            yield from (Aim(lamp, target.shot, 1, _in_row(lamp)) for lamp in named)


def _cost(target: Target, angle: int) -> float:
    return abs(target.angle - angle) + target.way * NEARER / 100


def _ends(book: RouteBook, steps: Sequence[Step]) -> bool:
    """Whether a ball that nothing catches goes home on these steps."""
    last = steps[-1]
    if last.verb == "go":
        return _ends(book, book.steps[str(last.arguments[0])])
    return last.verb == "enter" and book.home in last.arguments


def _switches(steps: Sequence[Step]) -> list[str]:
    found = {"hit": 1, "spin": 1, "drop": 1, "latch": 1}
    return [str(step.arguments[found[step.verb]]) for step in steps if step.verb in found]


def _names(steps: Sequence[Step]) -> Iterator[str]:
    for step in steps:
        yield from (str(value) for value in step.arguments if isinstance(value, str))


def _plain(name: str) -> str:
    return name.replace(".", "_")


def _in_row(lamp: str) -> bool:
    """Whether a lamp is numbered, as those of a bank are."""
    return lamp.rpartition(".")[2].isdigit()
