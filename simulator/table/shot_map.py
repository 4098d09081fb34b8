"""Where a ball goes from each flipper, at every timing: flights of single balls on a table without rules."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from simulator.ball import Ball
from simulator.drawing.geometry import Point
from simulator.table.bat import PIVOT, SwingingBat
from simulator.table.materials import RADIUS
from simulator.table.roller import Roller
from simulator.table.rolling_table import RollingTable

MADE, BACK, DRAINED = "made", "rolled back", "drained"
FEEDS = (("slow", 0.0), ("from an inlane", 450.0))  # mm/s along the bat where it begins
BEGIN = 0.1  # of the bat's length, where a ball begins to roll
LONGEST_ROLL_MS = 1200  # on the bat, before it is off it
LONGEST_FLIGHT_MS = 4000
PULSE_MS = 40
HELD_MS = 150
SAMPLE_MS = 5
CLEAR = 90.0  # mm from the bat, where a flight's angle is taken
LEAST_RISE = 40.0  # mm above the pivot, from where a ball that comes down again has been shot


@dataclass
class Flight:
    """One ball: when it was shot after it began to roll along the bat, and what became of it.

    `angle`: degrees from straight ahead, to the right positive. `name`: what it met first. `missed`: it was
    off the bat before it was shot.
    """

    flipper: str
    feed: str
    at_ms: int
    name: str = ""
    result: str = ""
    angle: float = 0.0
    missed: bool = False
    contacts: list[str] = field(default_factory=list)
    path: list[Point] = field(default_factory=list)


@dataclass(frozen=True)
class Window:
    """Timings in a row with the same end: `angle` is the mean, `ms` how long the window is."""

    name: str
    result: str
    flipper: str
    feed: str
    first_ms: int
    ms: int
    angle: float


def fly(table: RollingTable, flipper: str, feed: str, speed: float, at_ms: int, down: bool) -> Flight:
    """Roll a ball along a bat and shoot it after `at_ms`. `down`: drop targets are down before."""
    flight = Flight(flipper, feed, at_ms)
    table.start(0)
    for target in table.drop_targets.values() if down else ():
        target.knock_down()
    table.take(1)
    bat = next(bat for bat in table.bats if bat.name == flipper)
    ball = table.devices[table.home].slots[0]
    assert ball is not None
    roller = _on_bat(table, bat, ball, speed)
    table.contacts.take_changes()
    _shoot(table, bat, table.now + at_ms)
    _follow(table, bat, roller, flight)
    return flight


def sweep(make: Callable[[], RollingTable], step_ms: int, down: bool) -> Iterator[Flight]:
    """Flights from every flipper and feed, a timing every `step_ms`, until the ball is off the bat."""
    for flipper in [bat.name for bat in make().bats]:
        for feed, speed in FEEDS:
            for at_ms in range(0, LONGEST_ROLL_MS, step_ms):
                flight = fly(make(), flipper, feed, speed, at_ms, down)
                yield flight
                if flight.missed:
                    break


def windows(flights: list[Flight], step_ms: int) -> list[Window]:
    """Flights in a row with the same end, as windows of time."""
    found: list[list[Flight]] = []
    for flight in flights:
        before = found[-1][-1] if found else None
        if before and _end(before) == _end(flight) and flight.at_ms - before.at_ms == step_ms:
            found[-1].append(flight)
        else:
            found.append([flight])
    return [_window(row, step_ms) for row in found]


def _end(flight: Flight) -> tuple[str, str, str, str]:
    return flight.name, flight.result, flight.flipper, flight.feed


def _window(row: list[Flight], step_ms: int) -> Window:
    angle = sum(flight.angle for flight in row) / len(row)
    return Window(*_end(row[0]), row[0].at_ms, len(row) * step_ms, angle)


def _on_bat(table: RollingTable, bat: SwingingBat, ball: Ball, speed: float) -> Roller:
    """A ball on a bat at rest, near its pivot."""
    u, v = math.cos(bat.rest_angle), math.sin(bat.rest_angle)
    up = (v, -u) if u > 0 else (-v, u)
    along, away = BEGIN * bat.length, PIVOT + RADIUS
    at = bat.pivot[0] + u * along + up[0] * away, bat.pivot[1] + v * along + up[1] * away
    table.devices[table.home].release_ball(table.now)
    return table.roll(ball, at, (u * speed, v * speed))


def _shoot(table: RollingTable, bat: SwingingBat, at_ms: int) -> None:
    table.coil(bat.row.strong, PULSE_MS, at_ms)
    table.coil(bat.row.hold, -1, at_ms)
    table.coil(bat.row.hold, 0, at_ms + HELD_MS)
    table.coil(bat.row.strong, 0, at_ms + HELD_MS)


def _follow(table: RollingTable, bat: SwingingBat, roller: Roller, flight: Flight) -> None:
    """Let the ball fly until it is taken in, comes back, or has flown long enough."""
    start = table.now
    rose = False
    spinners = {spinner.name for spinner in table.layout.spinners}
    hidden = {one.row.switch for one in table.bats} | set(table.devices[table.home].row.switches)
    while table.now < start + flight.at_ms + LONGEST_FLIGHT_MS:
        changes = table.take(table.now + 1)
        flight.contacts += [name for name, closed in changes if closed and name not in hidden]
        rolling = next((one for one in table.rollers if one.ball is roller.ball), None)
        if rolling is None:
            flight.missed = table.now < start + flight.at_ms
            break
        at = rolling.place
        if table.now % SAMPLE_MS == 0:
            flight.path.append(at)
        if not flight.angle and table.now > start + flight.at_ms and math.dist(at, bat.pivot) > CLEAR:
            u, v = rolling.velocity
            if at[1] < bat.pivot[1]:
                flight.angle = math.degrees(math.atan2(u, -v))
        rose = rose or at[1] < bat.pivot[1] - LEAST_RISE
        back = rose and rolling.ride is None and at[1] > bat.pivot[1] - LEAST_RISE / 2
        if back and rolling.velocity[1] > 0:
            break
    _judge(table, roller, flight, [name for name in flight.contacts if name not in spinners])


def _judge(table: RollingTable, roller: Roller, flight: Flight, met: list[str]) -> None:
    ramps = {name: way for way in table.layout.ways for name, _ in way.switches}
    flight.name = met[0] if met else ""
    flight.result = MADE if met else ""
    if flight.name in ramps:
        way = ramps[flight.name]
        flight.name = way.name
        flight.result = MADE if way.switches[-1][0] in met else BACK
    elif not met and roller.taken:
        flight.name, flight.result = roller.taken, MADE
    if not flight.name and roller.ball.place == table.home:
        flight.result = DRAINED
