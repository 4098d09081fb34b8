"""The round trip of the link beside that of a bare pyserial port, on pseudo-terminals of one machine."""

import os
import statistics
import subprocess
import time
import tty
from collections.abc import Callable
from dataclasses import dataclass

from hil.bench.targets import wire
from hil.bench.targets.link import open_port
from hil.bench.targets.linked import PROCESS, LinkTarget
from hil.games import Game

FRAME = wire.pack(1, 5, bytes(4))  # as long as an ADVANCE frame
WARM_UP = 50


@dataclass(frozen=True)
class RoundTrips:
    """Medians in µs of as many exchanges of each kind, taken by turns."""

    link: float
    echo: float
    count: int

    @property
    def ratio(self) -> float:
        """How many times as long the link takes as the bare port."""
        return self.link / self.echo


def measure(game: Game, count: int, rounds: int = 10) -> RoundTrips:
    """`count` exchanges of each kind in `rounds` turns. Raises UsageError, LinkError."""
    target = LinkTarget(PROCESS, game)
    echo = Echo()
    try:
        target.start(1, {})
        now = iter(range(1, WARM_UP + count + 1))
        _times(WARM_UP, lambda: _advance(target, next(now)))
        link_times: list[float] = []
        echo_times: list[float] = []
        for _ in range(rounds):
            link_times += _times(count // rounds, lambda: _advance(target, next(now)))
            echo_times += _times(count // rounds, echo.exchange)
    finally:
        echo.close()
        target.close()
    return RoundTrips(statistics.median(link_times), statistics.median(echo_times), len(link_times))


def _advance(target: LinkTarget, until_ms: int) -> None:
    """One frame there, and the answer: a machine at rest, 1 ms on."""
    target.advance(until_ms)


def _times(count: int, act: Callable[[], None]) -> list[float]:
    """How long each call took, in µs."""
    taken = []
    for _ in range(count):
        began = time.perf_counter_ns()
        act()
        taken.append((time.perf_counter_ns() - began) / 1000)
    return taken


class Echo:
    """A port whose other end, the command `cat`, sends back what comes."""

    def __init__(self) -> None:
        ours, held = os.openpty()
        tty.setraw(held)
        self._process = subprocess.Popen(["cat"], stdin=ours, stdout=ours, stderr=subprocess.DEVNULL)
        os.close(ours)
        self._port = open_port(os.ttyname(held))
        os.close(held)

    def exchange(self) -> None:
        """Send a frame and read it back."""
        self._port.write(FRAME)
        left = len(FRAME)
        while left:
            left -= len(self._port.read(left))

    def close(self) -> None:
        """Close the line, which ends the process."""
        self._port.close()
        self._process.wait(5)
