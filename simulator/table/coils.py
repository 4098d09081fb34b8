"""What coils do to balls and mechanisms of a rolling table. Too short pulses have no effect."""

import math
from typing import TYPE_CHECKING

from firmware.base.chance import Stream
from simulator.devices import BallDevice
from simulator.drawing.geometry import Point
from simulator.drawing.pieces import Bumper, Kicker, Sling
from simulator.table import materials
from simulator.table.field import face_part
from simulator.table.roller import Roller
from simulator.table.shapes import distance

if TYPE_CHECKING:
    from simulator.table.rolling_table import RollingTable

DRAWS = 15  # number of the random stream
LEAST_PULSE = 8  # ms, of a bumper, sling or kicker
HELD_ON = -1
STEPS = 1 << 10


class Coils:
    """Drives the mechanisms of one table."""

    def __init__(self, table: "RollingTable", seed: int) -> None:
        self._table = table
        self._draws = Stream(seed, DRAWS)
        layout = table.layout
        bound = {device.row.coil for device in table.devices.values()}
        bound |= {target.row.coil for target in table.drop_targets.values()}
        self._kickers = {name: kicker for name, kicker in layout.kickers.items() if name not in bound}
        self._bumpers = {bumper.coil: bumper for bumper in layout.bumpers if bumper.coil}
        self._slings = {sling.coil: sling for sling in layout.slings if sling.coil}

    def drive(self, name: str, value: int, at_ms: int) -> None:
        """Answer one COIL record: `value` is a pulse in ms, −1 held on, 0 off."""
        table = self._table
        for bat in table.bats:
            bat.coil(name, value, at_ms)
        for wheel in table.wheels:
            wheel.coil(name, value, at_ms)
        if value == 0:
            return
        for device in table.devices.values():
            if device.row.coil == name and device.ready_ball() and _strong(value, device.row.least_pulse):
                self._eject(device, at_ms)
        for target in table.drop_targets.values():
            if target.row.coil == name and _strong(value, target.row.least_pulse):
                target.raise_up(at_ms)
        if _strong(value, LEAST_PULSE):
            self._kick(name)

    def _eject(self, device: BallDevice, at_ms: int) -> None:
        device.reserve()
        self._table.scheduler.schedule(at_ms + device.row.leaves_after, lambda ms: self._leave(device, ms))

    def _leave(self, device: BallDevice, at_ms: int) -> None:
        """A ball leaves: by its route where that ends in a device, else it is thrown."""
        table = self._table
        steps = table.book.steps[device.row.way_out]
        if steps[-1].verb == "enter" and steps[-1].arguments[1] != device.row.name:
            table.travel(device.release_ball(at_ms), steps)
            return
        lane = next((lane for lane in table.layout.lanes if lane.device == device.row.name), None)
        speed = materials.AUTO_PLUNGE if lane else materials.EJECT
        kicker = table.layout.kickers.get(device.row.coil)
        out = lane.out if lane else _direction(kicker.start, kicker.end) if kicker else (0.0, 1.0)
        table.throw(device, *self._scattered(out, speed), at_ms)

    def _kick(self, name: str) -> None:
        balls = list(self._table.field.rollers)
        if name in self._bumpers:
            for roller in balls:
                self._bump(self._bumpers[name], roller)
        if name in self._slings:
            for roller in balls:
                self._sling(self._slings[name], roller)
        if name in self._kickers:
            for roller in balls:
                self._throw(self._kickers[name], roller)

    def _bump(self, bumper: Bumper, roller: Roller) -> None:
        if self._table.field.gap(roller, bumper.switch) <= materials.REACH:
            out = _direction((bumper.x, bumper.y), roller.place)
            roller.kick(*self._scattered(out, materials.BUMPER_KICK))

    def _sling(self, sling: Sling, roller: Roller) -> None:
        part = face_part((sling.upper, sling.lower), roller.place)
        if part >= 0 and self._table.field.gap(roller, sling.switch) <= materials.REACH:
            strength = 0.5 + 0.5 * math.sin(math.pi * part)  # a rubber gives least near its posts
            roller.kick(*self._scattered(sling.out, materials.SLING_KICK * strength))

    def _throw(self, kicker: Kicker, roller: Roller) -> None:
        if distance(roller.place, kicker.start, kicker.end) <= materials.KICK_REACH:
            roller.kick(*self._scattered(_direction(kicker.start, kicker.end), materials.KICK))

    def _scattered(self, direction: Point, speed: float) -> tuple[Point, float]:
        """Direction and speed, each off by as much as SCATTER at most."""
        turn, part = (materials.SCATTER * (self._draws.below(2 * STEPS + 1) / STEPS - 1) for _ in range(2))
        u, v = direction
        cos, sin = math.cos(turn), math.sin(turn)
        return (u * cos - v * sin, u * sin + v * cos), speed * (1 + part)


def _direction(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length) if length else (0.0, -1.0)


def _strong(value: int, least_pulse: int) -> bool:
    return value == HELD_ON or value >= least_pulse
