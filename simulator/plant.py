"""The plant: simulated balls and mechanisms in whole milliseconds, wherever the game runs.

It takes COIL records of the trace and returns contact changes; it knows a game only through its RouteBook.
Every ball is one object that is in one place at all times; `lost` counts those for which that is not so.
"""

from collections.abc import Iterable

from firmware.base.chance import Stream
from firmware.base.errors import ScriptError
from simulator.ball import FREE, HELD, MOVING, Ball
from simulator.ball_path import BallPath, follow
from simulator.devices import BallDevice
from simulator.flipper import Flipper
from simulator.mechanisms import Mechanisms
from simulator.routes import Option, RouteBook, Shot
from simulator.scheduler import Action

DRAWS = 11  # numbers of the plant's own random streams; those of the rules are lower
FAILURES = 12
HELD_ON = -1
REACTION_MS = 1  # from a shot, or a coil that catches a ball, to the ball's next step


class Plant(Mechanisms):
    """Balls and mechanisms of one game; times are ms of the run.

    `varied`: options that a shot leaves open are drawn by weight, instead of the usual value. `failing`: some
    coil pulses have no effect and some balls leave their route, as often as the game's tables say.
    `routes`: the game's tables, or the RouteBook that was read from them.
    """

    def __init__(
        self,
        routes: object,
        switch_names: Iterable[str],
        coil_names: Iterable[str],
        seed: int = 1,
        varied: bool = False,
        failing: bool = False,
    ) -> None:
        read = routes if isinstance(routes, RouteBook) else RouteBook(routes, switch_names, coil_names)
        super().__init__(read)
        self.varied = varied
        self.failing = failing
        self.failed = 0  # pulses that failed
        self.strayed = 0  # balls that left their route
        self.rests = 0  # how often a ball came to rest, in a device or for a shot
        self.drains: dict[str, int] = {}  # balls that came home, by their last shot
        self.flippers = [Flipper(row, self.scheduler, self.contacts) for row in self.book.flippers]
        self._draws = Stream(seed, DRAWS)
        self._failures = Stream(seed, FAILURES)
        self._paths: dict[int, BallPath] = {}
        self._scheduled: set[tuple[int, int]] = set()

    def due(self) -> int | None:
        """When (ms) the plant's next action is due; None: nothing is scheduled."""
        return self.scheduler.next_due()

    def take(self, at_ms: int) -> list[tuple[str, bool]]:
        """Run to `at_ms` and return the contact changes in order: (switch, closed)."""
        self.now = max(self.now, at_ms)
        self.scheduler.run_until(at_ms)
        return self.contacts.take_changes()

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """React to a COIL record: pulse in ms, −1 held on, 0 off. Too short pulses have no effect."""
        for flipper in self.flippers:
            flipper.coil(name, value, at_ms)
        for wheel in self.wheels:
            wheel.coil(name, value, at_ms)
        if value == 0:
            return
        fails = self._fails(name)
        for device in self.devices.values():
            if device.row.coil == name and device.ready_ball() and _strong(value, device.row.least_pulse):
                device.reserve()
                self.scheduler.schedule(
                    at_ms + device.row.leaves_after, device.start_hop if fails else self._throw_action(device)
                )
        for target in self.drop_targets.values():
            if target.row.coil == name and _strong(value, target.row.least_pulse) and not fails:
                target.raise_up(at_ms)
        for ball in self.balls:
            if ball.catching_coil == name and _strong(value, ball.least_pulse) and not fails:
                ball.was_caught = True
                self._wake(ball, at_ms + REACTION_MS)

    def shoot(self, shot: str, at_ms: int, **options: int) -> None:
        """Start a shot with a waiting ball. Raises ScriptError: no such shot, option or waiting ball."""
        row = self.book.shot(shot)
        given = self.book.options(row, options)
        ball = self._ball_for(row, at_ms)
        ball.chosen = dict(given)
        ball.shot = shot
        self._send(ball, shot, at_ms + REACTION_MS)

    def shots(self) -> list[tuple[str, str]]:
        """Every shot with its line of help."""
        return self.book.help()

    @property
    def lost(self) -> int:
        """How many balls have no slot or two, or no next step or two: 0 unless the plant has an error."""
        wrong = 0
        for ball in self.balls:
            slots = sum(held is ball for device in self.devices.values() for held in device.slots)
            scheduled = (ball.number, ball.step_number) in self._scheduled
            wrong += (slots, scheduled) != (int(ball.state == HELD), ball.state == MOVING)
        return wrong

    def choice(self, ball: Ball, name: str) -> int:
        """The value of a shot's option for this ball: as given, else drawn by weight or the usual one."""
        if name not in ball.chosen:
            option = self._option(ball.route, name)
            drawn = self._draws.weighted(option.weights) + option.least if self.varied else option.usual
            ball.chosen[name] = drawn
        return ball.chosen[name]

    def strays(self, per_cent: int) -> bool:
        """Draw whether a ball leaves its route, `per_cent` of the time, and count it; only when `failing`."""
        astray = self.failing and self._failures.below(100) < per_cent
        self.strayed += astray
        return astray

    def arrived(self, ball: Ball, device: str) -> None:
        """A ball came to rest; those that came home are counted by their last shot."""
        self.rests += 1
        if device == self.book.home:
            self.drains[ball.shot] = self.drains.get(ball.shot, 0) + 1

    def _option(self, route: str, name: str) -> Option:
        shots = [self.book.shots[route]] if route in self.book.shots else []
        return next(o for shot in (*shots, *self.book.shots.values()) for o in shot.options if o.name == name)

    def _ball_for(self, shot: Shot, at_ms: int) -> Ball:
        if shot.start in self.devices:
            device = self.devices[shot.start]
            ball = device.ready_ball()
            if ball is not None:
                device.reserve()
                return ball
        else:
            waiting = [ball for ball in self.balls if ball.state == FREE]
            if waiting:
                return min(waiting, key=lambda ball: (ball.since, ball.number))
        there = ", ".join(f"{place} {count}" for place, count in self.places().items() if count)
        busy = ", ".join(ball.route for ball in self.balls if ball.state == MOVING and ball.route)
        on_way = f"; still under way: {busy}" if busy else ""
        raise ScriptError(f"shot '{shot.name}' needs a ball that waits on the {shot.start} ({there}{on_way})")

    def _throw_action(self, device: BallDevice) -> Action:
        def throw(ms: int) -> None:
            ball = device.release_ball(ms)
            self._send(ball, device.row.way_out, ms)

        return throw

    def _send(self, ball: Ball, route: str, at_ms: int) -> None:
        """Start a ball on a shot or a route."""
        ball.state = MOVING
        ball.route = route
        self._paths[ball.number] = follow(self, ball, route)
        self._wake(ball, at_ms)

    def _wake(self, ball: Ball, at_ms: int) -> None:
        """Schedule the ball's next step; an earlier one is cancelled."""
        self._scheduled.discard((ball.number, ball.step_number))
        ball.step_number += 1
        token = (ball.number, ball.step_number)
        self._scheduled.add(token)
        self.scheduler.schedule(at_ms, lambda ms: self._step(ball, token, ms))

    def _step(self, ball: Ball, token: tuple[int, int], now_ms: int) -> None:
        if token not in self._scheduled:
            return
        self._scheduled.discard(token)
        self.now = now_ms
        wait = next(self._paths[ball.number], None)
        if wait is not None:
            self._wake(ball, now_ms + wait)

    def _fails(self, coil: str) -> bool:
        if not self.failing or coil not in self.book.weak:
            return False
        fails = self._failures.below(100) < self.book.weak[coil]
        self.failed += fails
        return fails


def _strong(value: int, least_pulse: int) -> bool:
    return value == HELD_ON or value >= least_pulse
