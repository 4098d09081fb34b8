"""How a ball follows a route: one small generator a step, each yield a wait in milliseconds."""

from collections.abc import Callable, Generator
from typing import Protocol

from simulator.agenda import Agenda, Contacts
from simulator.ball import Ball
from simulator.devices import RETRY, Device, Latch
from simulator.routes import RouteBook

Walk = Generator[int, None, None]
Leg = Generator[int, None, str]  # returns the route to go on with, "" for the next step


class Ground(Protocol):
    """What a walk needs of the plant."""

    now: int
    book: RouteBook
    agenda: Agenda
    contacts: Contacts
    devices: dict[str, Device]
    latches: dict[str, Latch]

    def choice(self, ball: Ball, name: str) -> int: ...
    def strays(self, per_cent: int) -> bool: ...


def follow(plant: Ground, ball: Ball, route: str) -> Walk:
    """Take every step of the route, and of the routes it goes on to."""
    while route:
        steps = plant.book.shots[route].steps if route in plant.book.shots else plant.book.steps[route]
        route = ""
        for step in steps:
            if step.verb in AT_ONCE:
                route = AT_ONCE[step.verb](plant, ball, *step.arguments)
            else:
                route = yield from LEGS[step.verb](plant, ball, *step.arguments)
            if route:
                break


def _move(plant: Ground, ball: Ball, after: int, point: str) -> Leg:
    ball.travel(point, plant.now, plant.now + after)
    yield after
    return ""


def _touch(plant: Ground, switch: str, closed_ms: int) -> None:
    plant.contacts.press(switch)
    plant.agenda.at(plant.now + closed_ms, lambda ms: plant.contacts.release(switch))


def _hit(plant: Ground, ball: Ball, after: int, switch: str, closed_ms: int) -> Leg:
    yield from _move(plant, ball, after, switch)
    _touch(plant, switch, closed_ms)
    return ""


def _bounce(
    plant: Ground, ball: Ball, after: int, switches: tuple[str, ...], closed_ms: int, gap: int, option: str
) -> Leg:
    for hit in range(plant.choice(ball, option)):
        yield from _hit(plant, ball, gap if hit else after, switches[hit % len(switches)], closed_ms)
    return ""


def _spin(
    plant: Ground, ball: Ball, after: int, switch: str, closed_ms: int, gap: int, slower: int, option: str
) -> Leg:
    yield from _move(plant, ball, after, switch)
    for turn in range(plant.choice(ball, option)):
        if turn:
            yield gap + slower * turn
        _touch(plant, switch, closed_ms)
    return ""


def _latch(plant: Ground, ball: Ball, after: int, switch: str, route: str, option: str) -> Leg:
    yield from _move(plant, ball, after, switch)
    latch = plant.latches[switch]
    if latch.down:
        return route
    latch.knock_down()
    return route if plant.choice(ball, option) else ""


def _catch(plant: Ground, ball: Ball, coil: str, wait: int, least_pulse: int, route: str) -> Leg:
    ball.catcher, ball.least_pulse, ball.caught = coil, least_pulse, False
    yield wait
    ball.catcher = ""
    return route if ball.caught else ""


def _enter(plant: Ground, ball: Ball, after: int, name: str, full_route: str) -> Leg:
    device = plant.devices[name]
    yield from _move(plant, ball, after, device.point(len(device.slots) - 1))
    while not device.take_in(ball, plant.now):
        if full_route and device.is_full():
            return full_route
        yield RETRY
    return ""


def _rest(plant: Ground, ball: Ball, after: int, point: str) -> Leg:
    yield from _move(plant, ball, after, point)
    ball.rest(plant.now)
    return ""


def _place(plant: Ground, ball: Ball, place: str) -> str:
    ball.place = place
    return ""


def _go(plant: Ground, ball: Ball, route: str) -> str:
    return route


def _pick(plant: Ground, ball: Ball, option: str, routes: tuple[str, ...]) -> str:
    return routes[plant.choice(ball, option)]


def _stray(plant: Ground, ball: Ball, per_cent: int, route: str) -> str:
    return route if plant.strays(per_cent) else ""


def _leave(plant: Ground, ball: Ball, name: str) -> str:
    plant.devices[name].let_go(plant.now)
    return ""


LEGS: dict[str, Callable[..., Leg]] = {
    "move": _move,
    "hit": _hit,
    "bounce": _bounce,
    "spin": _spin,
    "latch": _latch,
    "catch": _catch,
    "enter": _enter,
    "rest": _rest,
}
AT_ONCE: dict[str, Callable[..., str]] = {
    "place": _place,
    "go": _go,
    "pick": _pick,
    "stray": _stray,
    "leave": _leave,
}
