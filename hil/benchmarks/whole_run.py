"""Plays recorded contacts into a console and counts; runs on every Python, so it imports little.

As a program: `micropython whole_run.py GAME_PACKAGE CONTACTS SEED REPEATS [NAME=VALUE …]`; prints
`name value` lines. One event is one EVENT record: a posted event, with all that follows from it.
"""

import gc
import sys
import time
from array import array

from firmware.base.trace import EVENT, RECORD
from firmware.console import Console

TAKE = 20
SLICE_MS = 100  # the trace's ring is looked at this often


class Run:
    """One console and the contacts to come; everything it needs is allocated before it starts."""

    def __init__(self, console: Console, changes: "array[int]") -> None:
        self.console = console
        self.events = 0
        self.records = 0
        self.at = 0
        self.allocated = 0
        self.allocating_steps = 0
        self.worst_step = 0
        self._changes = changes
        self._taken = bytearray(TAKE * RECORD)

    def play(self) -> None:
        """From beginning to end, without a look at the trace."""
        changes, at = self._changes, self.at
        run_to, contact = self.console.run_to, self.console.contact
        while changes[at + 1] >= 0:
            run_to(changes[at])
            contact(changes[at + 1], changes[at + 2])
            at += 3
        run_to(changes[at])

    def step(self) -> bool:
        """Up to the next contact change and make it; False when the run is over."""
        changes = self._changes
        at = self.at
        console = self.console
        while console.now < changes[at]:
            left = changes[at] - console.now
            console.run_to(console.now + SLICE_MS if left > SLICE_MS else changes[at])
            self._take()
        if changes[at + 1] < 0:
            return False
        console.contact(changes[at + 1], changes[at + 2])
        self.at = at + 3
        return True

    def _take(self) -> None:
        trace = self.console.trace
        while trace.held():
            n = trace.take(self._taken, 0, TAKE)
            self.records += n
            at = 4
            while at < n * RECORD:  # a range with a step that is no literal would be allocated
                if self._taken[at] == EVENT:
                    self.events += 1
                at += RECORD

    def digest(self) -> str:
        """The trace hash; the run ends here."""
        return "".join([f"{byte:02x}" for byte in self.console.trace.digest()])


def read(path: str) -> "array[int]":
    """The contacts of a file, flat: ms, switch, closed, ms, …"""
    changes = array("i")
    with open(path) as source:
        for line in source:
            for word in line.split():
                changes.append(int(word))
    return changes


def ticks_us() -> int:
    """A microsecond clock of either Python; CPU time where there is one."""
    if hasattr(time, "ticks_us"):
        now: int = time.ticks_us()
        return now
    return time.process_time_ns() // 1000


def allocated() -> int:
    """Bytes of heap in use, 0 where the Python does not say."""
    return gc.mem_alloc() if hasattr(gc, "mem_alloc") else 0


def timed(make: "Callable[[], Run]", repeats: int) -> "dict[str, int]":
    """Play it `repeats` times: microseconds, events, records. What the trace holds is counted beforehand."""
    counted = make()
    while counted.step():
        pass
    took = 0
    for _ in range(repeats):
        run = make()
        gc.collect()
        begin = ticks_us()
        run.play()
        took += ticks_us() - begin
    return {"us": took, "events": counted.events * repeats, "records": counted.records * repeats}


def heap_use(run: Run, most: int = 1 << 29) -> None:
    """Up to `most` steps without the collector; what they allocate is counted in `run`."""
    gc.disable()
    more = True
    while more and most:
        before = allocated()
        more = run.step()
        used = allocated() - before
        if used:
            run.allocated += used
            run.allocating_steps += 1
            run.worst_step = max(run.worst_step, used)
        most -= 1
    gc.enable()


def main(words: "list[str]") -> None:
    """Time it, then count what it allocates."""
    package, path, seed, repeats = words[:4]
    __import__(package + ".game")
    game = sys.modules[package + ".game"]
    settings = {}
    for word in words[4:]:
        name, value = word.split("=")
        settings[name] = int(value)
    changes = read(path)

    def make() -> Run:
        return Run(Console(game, seed=int(seed), settings=settings), changes)

    results = timed(make, int(repeats))
    for name in sorted(results):
        print(name, results[name])
    run = make()
    gc.collect()
    heap_use(run)
    if allocated():
        print("allocated", run.allocated)
        print("allocating_steps", run.allocating_steps)
        print("worst_step", run.worst_step)
        print("heap_events", run.events)
    print("digest", run.digest())


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

if __name__ == "__main__":
    main(sys.argv[1:])
