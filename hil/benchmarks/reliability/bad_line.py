"""Rows 5 and 6: a line that damages bytes; frames alone at full count, whole sessions at a smaller count.

A session over such a line must end with the trace of a good line or with LinkError, in bounded time.
"""

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from random import Random
from typing import Protocol

from firmware.base.errors import LinkError
from hil.bench.targets import damage
from hil.bench.targets.damage import Damage
from hil.bench.targets.link import Port, open_port
from hil.bench.targets.linked import LinkTarget
from hil.benchmarks.reliability import MICROPYTHON, Result, codec
from hil.benchmarks.reliability.loop import LoopMachine, LoopPort, with_cached_files
from hil.games import Game, load
from hil.micropython import Spawned

FLIPPED_BITS = 5
GAME = "honey_flow"
FRAMES_A_SESSION = 2000  # one session for so many frames alone
LEAST_SESSIONS = 18
GOOD_S = 20.0  # patience with a good line: a process may take a while to start on a busy machine
PATIENCE_S = 0.5  # with a bad one, where most sessions end by waiting in vain
BOUND_S = 10.0  # a session takes at most so much longer than its longest wait, on a busy machine too
PLAN_MS = 4000

Contact = tuple[int, int, bool]


class MakeDamage(Protocol):
    """Makes one kind of damage."""

    def __call__(self, rng: Random, *, always: bool = False) -> Damage:
        """Damage drawn from `rng`; `always`: it strikes every time."""


Kinds = Sequence[tuple[str, MakeDamage]]


def kinds(row: int) -> Kinds:
    """The kinds of damage of a row by name; each is made from a generator and `always`: strike every time."""
    if row == FLIPPED_BITS:
        return [
            (f"{rate:g} of the bits flipped", partial(damage.flips, rate=rate)) for rate in damage.FLIP_RATES
        ]
    return [
        (f"{rate:.2%} of the bytes {kind}", partial(damage.bytes_of, kind=kind, rate=rate))
        for kind in damage.BYTE_KINDS
        for rate in damage.BYTE_RATES
    ] + [
        (f"{rate:.0%} of the frames {kind}", partial(damage.frames_of, kind=kind, rate=rate))
        for kind in damage.FRAME_KINDS
        for rate in damage.FRAME_RATES
    ]


def run(row: int, count: int, seed: int, on: str) -> Iterator[Result]:
    """`count` damaged frames (row 6: of each kind of damage), then sessions."""
    rng = Random(seed)
    named = kinds(row)
    frames = count if row == FLIPPED_BITS else count * (len(damage.BYTE_KINDS) + len(damage.FRAME_KINDS))
    result = codec.run(frames, rng, [(name, make(rng=rng, always=True)) for name, make in named], on)
    sessions(result, max(LEAST_SESSIONS, frames // FRAMES_A_SESSION), rng, named, on)
    yield result


def plan(rng: Random, switches: int, until_ms: int = PLAN_MS) -> list[Contact]:
    """Random contact changes in order of time: (ms, switch, closed)."""
    found: list[Contact] = []
    for ms in range(0, until_ms, 40):
        switch = rng.randrange(switches)
        found += [(ms, switch, True), (ms + 30, switch, False)]
    return found


def play(target: LinkTarget, contacts: list[Contact]) -> bytes:
    """Play `contacts` on a target; the digest of the run. Raises LinkError."""
    target.start(1, {})
    now = 0
    for ms, switch, closed in [*contacts, (PLAN_MS, 0, False)]:
        while now < ms:
            now = target.advance(ms)
        target.contact(switch, closed)
    return target.finish()


def sessions(result: Result, count: int, rng: Random, named: Kinds, on: str) -> None:
    """Run `count` sessions over a bad line, and one over a good line before and after."""
    game = with_cached_files(load(GAME))
    contacts = plan(rng, len(game.wiring.SWITCHES))
    with _line(game, on) as over:
        good = _good(over, contacts)
        for turn in range(count):
            name, make = named[turn % len(named)]
            target = over(make(rng=rng), make(rng=rng))
            _run_session(result, target, contacts, good, f"session with {name}")
        if _good(over, contacts) != good:
            result.failed("after the bad lines a good one gives another trace")


def _good(over: Callable[[Damage, Damage], LinkTarget], contacts: list[Contact]) -> bytes:
    target = over(damage.none, damage.none)
    target.patience_s = GOOD_S
    return play(target, contacts)


def _run_session(result: Result, target: LinkTarget, contacts: list[Contact], good: bytes, what: str) -> None:
    began = target.clock()
    result.count("sessions")
    try:
        digest = play(target, contacts)
    except LinkError:
        result.count("sessions INVALID")
    except Exception as error:
        result.failed(f"{what}: {type(error).__name__}: {error}")
    else:
        result.count("sessions unharmed")
        if digest != good:
            result.failed(f"{what}: another trace was accepted")
    took = target.clock() - began
    result.most("longest session, s", took)
    if took > target.patience_s + BOUND_S:
        result.failed(f"{what}: took {took:.1f} s")


@contextmanager
def _line(game: Game, on: str) -> Iterator[Callable[[Damage, Damage], LinkTarget]]:
    """Yields a function that makes targets over one device, with damage in each direction."""
    if on != MICROPYTHON:
        machine = LoopMachine(game)

        def loop(to_device: Damage, to_host: Damage) -> LinkTarget:
            port = LoopPort(machine, to_device, to_host)
            return LinkTarget.over(port, game, patience_s=PATIENCE_S, clock=port.clock)

        yield loop
        return
    spawned = Spawned(game)
    port = open_port(spawned.port)
    try:
        yield lambda to_device, to_host: LinkTarget.over(
            BadPort(port, to_device, to_host), game, patience_s=PATIENCE_S, clock=time.monotonic
        )
    finally:
        port.close()
        spawned.close()


class BadPort:
    """A serial port that damages the bytes in both directions."""

    def __init__(self, port: Port, to_device: Damage, to_host: Damage) -> None:
        self._port = port
        self._to_device = to_device
        self._to_host = to_host

    @property
    def in_waiting(self) -> int:
        """How many bytes, before damage, are waiting."""
        return self._port.in_waiting

    def read(self, n: int, /) -> bytes:
        """Up to `n` bytes, after damage."""
        return self._to_host(self._port.read(n))

    def write(self, data: bytes, /) -> None:
        """Send the bytes, after damage."""
        self._port.write(self._to_device(data))

    def close(self) -> None:
        """Close the port behind it."""
        self._port.close()
