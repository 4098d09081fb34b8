"""How a ball follows a route: one generator for each timed step; every yield is a wait in ms."""

from collections.abc import Callable, Generator
from typing import Protocol

from simulator.ball import Ball
from simulator.devices import RETRY, BallDevice, DropTarget
from simulator.routes import RouteBook
from simulator.scheduler import Contacts, Scheduler

PLAYFIELD = "playfield"
BallPath = Generator[int, None, None]
TimedStep = Generator[int, None, str]  # returns the route to continue on, "": the next step of this one


class PathContext(Protocol):
    """The members of the plant that a ball's path uses."""

    now: int
    book: RouteBook
    scheduler: Scheduler
    contacts: Contacts
    devices: dict[str, BallDevice]
    drop_targets: dict[str, DropTarget]

    def choice(self, ball: Ball, name: str) -> int:
        """The value of a shot's option for this ball."""

    def strays(self, per_cent: int) -> bool:
        """Whether the ball leaves its route here; `per_cent` is how often."""

    def arrived(self, ball: Ball, device: str) -> None:
        """The ball came to rest in a device or on the playfield."""


def follow(plant: PathContext, ball: Ball, route: str) -> BallPath:
    """Yield the waits (ms) of a ball on this shot or route, and on the routes that follow it."""
    while route:
        steps = plant.book.shots[route].steps if route in plant.book.shots else plant.book.steps[route]
        route = ""
        for step in steps:
            if step.verb in INSTANT_STEPS:
                route = INSTANT_STEPS[step.verb](plant, ball, *step.arguments)
            else:
                route = yield from TIMED_STEPS[step.verb](plant, ball, *step.arguments)
            if route:
                break


def _move(plant: PathContext, ball: Ball, after: int, point: str) -> TimedStep:
    ball.travel(point, plant.now, plant.now + after)
    yield after
    return ""


def _touch(plant: PathContext, switch: str, closed_ms: int) -> None:
    plant.contacts.press(switch)
    plant.scheduler.schedule(plant.now + closed_ms, lambda ms: plant.contacts.release(switch))


def _hit(plant: PathContext, ball: Ball, after: int, switch: str, closed_ms: int) -> TimedStep:
    yield from _move(plant, ball, after, switch)
    _touch(plant, switch, closed_ms)
    return ""


def _bounce(
    plant: PathContext,
    ball: Ball,
    after: int,
    switches: tuple[str, ...],
    closed_ms: int,
    gap: int,
    option: str,
) -> TimedStep:
    for hit in range(plant.choice(ball, option)):
        yield from _hit(plant, ball, gap if hit else after, switches[hit % len(switches)], closed_ms)
    return ""


def _spin(
    plant: PathContext,
    ball: Ball,
    after: int,
    switch: str,
    closed_ms: int,
    gap: int,
    slower: int,
    option: str,
) -> TimedStep:
    yield from _move(plant, ball, after, switch)
    for turn in range(plant.choice(ball, option)):
        if turn:
            yield gap + slower * turn
        _touch(plant, switch, closed_ms)
    return ""


def _drop(plant: PathContext, ball: Ball, after: int, switch: str) -> TimedStep:
    yield from _move(plant, ball, after, switch)
    plant.drop_targets[switch].knock_down()
    return ""


def _latch(plant: PathContext, ball: Ball, after: int, switch: str, route: str, option: str) -> TimedStep:
    yield from _move(plant, ball, after, switch)
    target = plant.drop_targets[switch]
    if target.is_down:
        return route
    target.knock_down()
    return route if plant.choice(ball, option) else ""


def _catch(plant: PathContext, ball: Ball, coil: str, wait: int, least_pulse: int, route: str) -> TimedStep:
    ball.catching_coil, ball.least_pulse, ball.was_caught = coil, least_pulse, False
    yield wait
    ball.catching_coil = ""
    return route if ball.was_caught else ""


def _enter(plant: PathContext, ball: Ball, after: int, name: str, full_route: str) -> TimedStep:
    device = plant.devices[name]
    yield from _move(plant, ball, after, device.point(len(device.slots) - 1))
    while not device.accept(ball, plant.now):
        if full_route and device.is_full():
            return full_route
        yield RETRY
    plant.arrived(ball, name)
    return ""


def _rest(plant: PathContext, ball: Ball, after: int, point: str) -> TimedStep:
    yield from _move(plant, ball, after, point)
    ball.rest(plant.now)
    plant.arrived(ball, PLAYFIELD)
    return ""


def _place(plant: PathContext, ball: Ball, place: str) -> str:
    ball.place = place
    return ""


def _go(plant: PathContext, ball: Ball, route: str) -> str:
    return route


def _pick(plant: PathContext, ball: Ball, option: str, routes: tuple[str, ...]) -> str:
    return routes[plant.choice(ball, option)]


def _stray(plant: PathContext, ball: Ball, per_cent: int, route: str) -> str:
    return route if plant.strays(per_cent) else ""


def _leave(plant: PathContext, ball: Ball, name: str) -> str:
    plant.devices[name].release_ball(plant.now)
    return ""


TIMED_STEPS: dict[str, Callable[..., TimedStep]] = {
    "move": _move,
    "hit": _hit,
    "bounce": _bounce,
    "spin": _spin,
    "drop": _drop,
    "latch": _latch,
    "catch": _catch,
    "enter": _enter,
    "rest": _rest,
}
INSTANT_STEPS: dict[str, Callable[..., str]] = {
    "place": _place,
    "go": _go,
    "pick": _pick,
    "stray": _stray,
    "leave": _leave,
}
