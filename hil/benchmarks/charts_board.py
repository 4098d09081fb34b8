"""The scenarios on a MicroPython: events a second, and bytes allocated an event. Runs there.

    micropython charts_board.py SENDS

prints `scenario sent-us by-hand-us bytes-by-send bytes-by-post-and-settle` a line, the times in
microseconds for all sends.
"""

import gc
import sys
import time

from hil.benchmarks.charts_scenarios import SCENARIOS, Owner

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeVar

    from firmware.charts.engine import Engine

    Event = TypeVar("Event")


def timed(send: "Callable[[Event], object]", event: "Event", times: int) -> int:
    """Microseconds that so many sends take."""
    now: Callable[[], int] = getattr(time, "ticks_us")  # noqa: B009 only MicroPython's time has it
    difference: Callable[[int, int], int] = getattr(time, "ticks_diff")  # noqa: B009
    start = now()
    for _ in range(times):
        send(event)
    return difference(now(), start)


def allocated(engine: "Engine", event: int, times: int) -> "tuple[int, int]":
    """Bytes allocated by so many events sent, and by as many posted and settled."""
    assert hasattr(gc, "mem_alloc")
    gc.collect()
    before = gc.mem_alloc()
    for _ in range(times):
        engine.send(event)
    between = gc.mem_alloc()
    for _ in range(times):
        engine.post(event)
        engine.settle()
    return between - before, gc.mem_alloc() - between


def measure(times: int) -> None:
    """Every scenario, a line each."""
    for scenario in SCENARIOS:
        engine, numbers = scenario.engine(Owner())
        machine = scenario.hand()
        timed(engine.send, numbers[0], 10)
        us = timed(engine.send, numbers[0], times)
        hand_us = timed(machine.send, scenario.round[0], times)
        engine.settle()
        sent, settled = allocated(engine, numbers[0], 1000)
        print(scenario.name, us, hand_us, sent, settled)


if __name__ == "__main__":
    measure(int(sys.argv[1]))
