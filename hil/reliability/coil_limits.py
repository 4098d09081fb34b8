"""Rows 8, 10, 11 and 19: storms, stalls and exceptions, saves while a coil is on, self-test at start.

Row 8 compares the plain twin with the slow board on random contacts and judges the slow board's drives
by rules of its own: on-time, rest, duty, amperes. It is the algorithm that a board's callback runs.
"""

from random import Random

from firmware.base import ticks
from firmware.devices import cells as c
from firmware.devices.core import Core
from hil.reliability import Result
from hil.slow_board import Samples, Trial, Twin, compare, grouped

PIECE = 20_000
GUARD_MS = 1  # a pulse may last one turn of the callback longer than commanded


def run(row: int, count: int, seed: int, _on: str) -> Result:
    """Run one of the rows."""
    return storm(count, seed) if row == 8 else stalls(count, seed)


def storm(count: int, seed: int) -> Result:
    """`count` milliseconds of random contacts, in pieces that each start with half-hot coils."""
    result = Result()
    done = 0
    while done < count:
        piece = min(PIECE, count - done)
        counts, difference = compare(piece, seed + done)
        result.ran += piece
        for name, n in counts.items():
            result.tally(name, n)
        if difference:
            result.failed(difference)
        _judge(result, piece, seed + done)
        done += piece
    return result


class Watch:
    """Looks at the drives alone: how long each is on, and what is drawn at once."""

    def __init__(self, result: Result) -> None:
        self._result = result
        self._on = [0] * len(Trial.COILS)
        self._drawn = {name: current for name, current, _, _ in Trial.HEAT}

    def see(self, driven: int, at: str) -> None:
        """One millisecond."""
        amperes = 0
        for i, (name, kind, _pulse, longest, _rest, drive) in enumerate(Trial.COILS):
            on = driven >> drive - 1 & 1
            self._on[i] = self._on[i] + 1 if on else 0
            if on and kind != "flipper":
                amperes += self._drawn.get(name, 0)
            if longest and self._on[i] > longest + GUARD_MS:
                self._result.failed(f"{at}: '{name}' was on for {self._on[i]} ms, its limit is {longest} ms")
            if longest:
                self._result.most("longest on, ms", self._on[i])
        self._result.most("most at once without flippers, mA", amperes)
        if amperes > Trial.SUPPLY_MA:
            self._result.failed(f"{at}: {amperes} mA at once, the supply bears {Trial.SUPPLY_MA}")


def _judge(result: Result, count: int, seed: int) -> None:
    twin = Twin(0)
    samples = Samples(seed)
    watch = Watch(result)
    rng = Random(seed)
    for at in range(count):
        one, two = samples.next()
        if rng.random() < 0.01:
            twin.core.renew(rng.random() < 0.9, twin.now)
        twin.step(grouped(one), grouped(two))
        twin.take_reports()
        twin.take_edges()
        watch.see(twin.core.cells[c.DRIVEN], f"ms {at} of seed {seed}")


def stalls(count: int, seed: int) -> Result:
    """The rules stop at a random moment of a storm: every pulsed coil is off in time, flippers fall.

    `count` stops. The callback goes on; what stops the callback itself is the guard's to answer, and
    is shown on the emulated chip (boards/pico_matrix/README.md).
    """
    result = Result()
    rng = Random(seed)
    for trial in range(count):
        twin = Twin(rng.randrange(ticks.MASK))
        samples = Samples(seed + trial)
        for _ in range(rng.randrange(50, 400)):
            twin.core.renew(True, twin.now)
            one, two = samples.next()
            twin.step(grouped(one), grouped(two))
        result.ran += 1
        _after_stall(result, twin.core, twin, samples, trial)
    return result


def _after_stall(result: Result, core: Core, twin: Twin, samples: Samples, trial: int) -> None:
    lit = core.cells[c.DRIVEN]
    result.tally("stops with a coil on", 1 if lit else 0)
    for _ in range(c.LEASE_MS):
        one, two = samples.next()
        twin.step(grouped(one), grouped(two))
    fired_by_then = core.cells[c.DRIVEN]
    longest = max(row[3] for row in Trial.COILS) + GUARD_MS
    for _ in range(longest):
        one, two = samples.next()
        twin.step(grouped(one), grouped(two))
    if core.cells[c.DRIVEN]:
        result.failed(
            f"stop {trial}: drives {core.cells[c.DRIVEN]:#x} are still on {longest} ms after the lease"
        )
    result.tally("coils that the lapsed lease found on", fired_by_then.bit_count())
