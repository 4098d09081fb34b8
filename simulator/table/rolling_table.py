"""A table on which balls roll: it takes the place of simulator.plant.Plant, and moves by coils and physics.

It takes COIL records and returns contact changes. A ball in a device, or on the way from one to the next, is
counted and timed as in the plant; any other ball rolls. Times are whole ms of the run.
"""

from collections.abc import Generator, Iterable, Sequence

from firmware.base.errors import ScriptError
from simulator.ball import MOVING, Ball
from simulator.ball_path import INSTANT_STEPS, TIMED_STEPS
from simulator.devices import RETRY, BallDevice
from simulator.drawing.drawing import Drawing
from simulator.drawing.geometry import Point
from simulator.mechanisms import PLAYFIELD, Mechanisms
from simulator.routes import RouteBook, Step
from simulator.table import layout, materials
from simulator.table.ahead import Ahead
from simulator.table.bat import SwingingBat
from simulator.table.coils import Coils
from simulator.table.field import Field
from simulator.table.meetings import Meetings
from simulator.table.riding import Riding
from simulator.table.roller import Roller
from simulator.table.shaking import Shaking
from simulator.table.way import Ride

FALL_MS = 300  # from the drain to the trough


class RollingTable(Mechanisms):
    """Balls and mechanisms of one game. `seed`: for what is drawn at random; `slope` in degrees.

    Raises GameError: wrong routes.
    """

    def __init__(
        self,
        routes: object,
        switch_names: Iterable[str],
        coil_names: Iterable[str],
        drawing: Drawing,
        seed: int = 1,
        slope: float = materials.SLOPE,
    ) -> None:
        super().__init__(RouteBook(routes, switch_names, coil_names))
        self.drawing = drawing
        self.layout = layout.read(drawing, self.book, slope)
        rows = {row.strong: row for row in self.book.flippers}
        self.bats = [SwingingBat(bat, rows[bat.strong]) for bat in self.layout.bats if bat.strong in rows]
        self.field = Field(self.layout, self.bats, slope)
        self._riding = Riding(self.contacts)
        self.shaking = Shaking(self.contacts, "tilt" if "tilt" in drawing.machine.switches else "")
        self._coils = Coils(self, seed)
        self._meetings = Meetings(self)
        self._ahead = Ahead(self)
        self._travelling: set[int] = set()
        self._strokes: set[str] = set()
        self._pulled_at: int | None = None

    def start(self, now_ms: int) -> None:
        """Put every ball at rest in the home device; their contacts close at `now_ms`."""
        self.field.now_ms = now_ms
        super().start(now_ms)

    def due(self) -> int | None:
        """When (ms) something is next due, or a moving ball may meet something."""
        due = self.scheduler.next_due()
        if not self._is_moving():
            return due
        quiet = self.now + self._ahead.quiet_ms()
        return quiet if due is None else min(quiet, max(due, self.now + 1))

    def take(self, at_ms: int) -> list[tuple[str, bool]]:
        """Run to `at_ms` and return the contact changes in order: (switch, closed)."""
        self.run_to(at_ms)
        return self.contacts.take_changes()

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """React to a COIL record: pulse in ms, −1 held on, 0 off. Too short pulses have no effect."""
        self.scheduler.schedule(max(at_ms, self.now), lambda ms: self._coils.drive(name, value, ms))

    def shoot(self, shot: str, at_ms: int, **options: int) -> None:
        """Raises ScriptError: balls roll here, and make no shots of themselves."""
        raise ScriptError(f"'{shot}' is a whole shot; here the ball rolls, and the flippers shoot")

    def pull(self, at_ms: int) -> None:
        """The player begins to pull the plunger."""
        self.run_to(at_ms)
        self._pulled_at = at_ms

    def let_go(self, at_ms: int) -> float:
        """The player lets the plunger go; returns how far it was pulled, 0 to 1, by the time it took."""
        if self._pulled_at is None:
            return 0.0
        self.run_to(at_ms)
        far = min(1.0, (at_ms - self._pulled_at) / materials.PULL_MS)
        self._pulled_at = None
        for lane in self.layout.lanes:
            device = self.devices[lane.device]
            if device.ready_ball():
                self.throw(device, lane.out, materials.PLUNGE * far, at_ms)
        return far

    def nudge(self, direction: str, at_ms: int) -> None:
        """Push the cabinet: "left", "right" or "up"."""
        self.run_to(at_ms)
        self.shaking.push(direction)

    @property
    def lost(self) -> int:
        """How many balls are in no place or in two: 0 unless the table has an error."""
        held = [ball for device in self.devices.values() for ball in device.slots if ball is not None]
        rolling = [roller.ball for roller in self.rollers]
        return sum(
            held.count(ball) + rolling.count(ball) + (ball.number in self._travelling) != 1
            for ball in self.balls
        )

    @property
    def riders(self) -> Sequence[Roller]:
        """The balls on ways above the playfield."""
        return self._riding.rollers

    @property
    def rollers(self) -> Sequence[Roller]:
        """Every ball that rolls, on the playfield or above it."""
        return [*self.field.rollers, *self.riders]

    # What a ball's path uses (simulator.ball_path)

    def choice(self, ball: Ball, name: str) -> int:
        """The usual value of a shot's option."""
        return next(o.usual for shot in self.book.shots.values() for o in shot.options if o.name == name)

    def strays(self, per_cent: int) -> bool:
        """Nothing fails here."""
        return False

    # What coils and meetings do

    def throw(self, device: BallDevice, direction: Point, speed: float, at_ms: int) -> None:
        """Let the ball at the exit of a device out with this speed."""
        point = self.drawing.points[device.point(0)]
        ball = device.release_ball(at_ms)
        velocity = (direction[0] * speed, direction[1] * speed)
        roller = self.roll(ball, point, velocity)
        roller.left = next((hole.name for hole in self.layout.holes if hole.device == device.row.name), "")

    def roll(self, ball: Ball, at: Point, velocity: Point) -> Roller:
        """Put a ball on the playfield."""
        ball.state, ball.place, ball.route = MOVING, PLAYFIELD, ""
        roller = Roller(ball, at, velocity)
        ball.at = at
        self.field.add(roller)
        return roller

    def travel(self, ball: Ball, steps: Iterable[Step]) -> None:
        """Send a ball along steps that end in a device."""
        ball.state, ball.at = MOVING, None
        self._travelling.add(ball.number)
        self._next_step(ball, self._walk(ball, steps))

    def take_in(self, roller: Roller, device: str, after_ms: int = 0) -> None:
        """Take a ball off the playfield into a device, as soon as that has room."""
        self.field.remove(roller)
        ball = roller.ball
        ball.place = device
        self._travelling.add(ball.number)
        self.scheduler.schedule(self.now + after_ms, lambda ms: self._enter(ball, self.devices[device], ms))

    def forget(self, roller: Roller) -> None:
        """Take a ball off the table for good."""
        if roller.ride is not None:
            self._riding.remove(roller)
        else:
            self.field.remove(roller)

    def mount(self, roller: Roller, ride: Ride) -> None:
        """Move a ball from the playfield to a way."""
        self.field.remove(roller)
        self._riding.add(roller, ride)

    def _enter(self, ball: Ball, device: BallDevice, now_ms: int) -> None:
        if device.accept(ball, now_ms):
            self._travelling.discard(ball.number)
        else:
            self.scheduler.schedule(now_ms + RETRY, lambda ms: self._enter(ball, device, ms))

    def arrived(self, ball: Ball, device: str) -> None:
        """A ball came to rest in a device; only the other plant counts that."""

    def _walk(self, ball: Ball, steps: Iterable[Step]) -> Generator[int, None, None]:
        for step in steps:
            if step.verb in INSTANT_STEPS:
                INSTANT_STEPS[step.verb](self, ball, *step.arguments)
            else:
                yield from TIMED_STEPS[step.verb](self, ball, *step.arguments)

    def _next_step(self, ball: Ball, walk: Generator[int, None, None]) -> None:
        wait = next(walk, None)
        if wait is None:
            self._travelling.discard(ball.number)
        else:
            self.scheduler.schedule(self.now + wait, lambda ms: self._next_step(ball, walk))

    # Time

    def _is_moving(self) -> bool:
        return bool(
            self.field.rollers
            or self.riders
            or self.shaking.is_moving
            or any(bat.is_moving(self.now) for bat in self.bats)
            or any(spinner.speed for spinner in self.layout.spinners)
        )

    def run_to(self, at_ms: int) -> None:
        """Let time pass; contact changes wait until they are taken."""
        while self.now < at_ms:
            self._go_on(at_ms)
        self.scheduler.run_until(at_ms)

    def _go_on(self, at_ms: int) -> None:
        """Go on by a millisecond, or to the next due action where nothing moves."""
        if not self._is_moving():
            due = self.scheduler.next_due()
            self.now = min(at_ms, max(self.now, due if due is not None else at_ms))
            self.field.now_ms = self.now
            self.scheduler.run_until(self.now)
            if not self._is_moving():
                return
        if self.now < at_ms:
            self._tick()

    def _tick(self) -> None:
        self.now += 1
        cabinet = self.shaking.step()
        self.field.step(cabinet)
        self.scheduler.run_until(self.now)
        self._meetings.answer()
        for roller, at, velocity in self._riding.step(cabinet):
            self.roll(roller.ball, at, velocity)
        for spinner in self.layout.spinners:
            if spinner.step(0.001):
                self.touch(spinner.name)
        self._sync()

    def touch(self, switch: str, closed_ms: int = materials.TOUCH_MS) -> None:
        """Close a contact for a moment."""
        self.contacts.press(switch)
        self.scheduler.schedule(self.now + closed_ms, lambda ms: self.contacts.release(switch))

    def _sync(self) -> None:
        """Bring drawn places, drop targets and end-of-stroke contacts up to date."""
        for roller in self.rollers:
            roller.ball.at = roller.place
        for name, target in self.drop_targets.items():
            if name in self._meetings.targets:
                self.field.set_solid(name, not target.is_down)
        for bat in self.bats:
            if bat.is_up != (bat.row.switch in self._strokes):
                if bat.is_up:
                    self._strokes.add(bat.row.switch)
                    self.contacts.press(bat.row.switch)
                else:
                    self._strokes.remove(bat.row.switch)
                    self.contacts.release(bat.row.switch)
