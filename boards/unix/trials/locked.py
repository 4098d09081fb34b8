"""Row 15: nothing is allocated in the hot path; any allocation raises, for the heap is locked.

`count` ticks of a board's callback, on the whole game's wiring, then a tenth as many
steps of the console, in play, each with all that follows from it. Under MicroPython only.
"""

import micropython as _micropython

from boards.unix.trials import machines
from boards.unix.trials.contact_storm import ContactStorm
from boards.unix.trials.tally import Tally
from firmware.devices.native import limiter as c

micropython: "ModuleType" = _micropython  # its stubs know only what every port has

GAME = "honey_flow"
A_PIECE_MS = 10_000
RENEW_MS = 100


def run(_row: int, count: int, seed: int) -> Tally:
    """The control first: a buffer made with the heap locked must raise."""
    tally = Tally()
    if not _raises():
        tally.failed("a buffer was made although the heap was locked: these trials show nothing")
        return tally
    _ticks(tally, count, seed)
    _steps(tally, count // 10, seed)
    return tally


def _raises() -> bool:
    micropython.heap_lock()
    try:
        bytearray(100)
    except MemoryError:
        return True
    finally:
        micropython.heap_unlock()
    return False


def _ticks(tally: Tally, count: int, seed: int) -> None:
    """The callback's work: scan, debounce, reflexes, limits; what it says is taken as the rules would."""
    storm = ContactStorm(machines.game(GAME).WIRING, seed)
    while tally.ran < count:
        storm.shake()
        micropython.heap_lock()
        try:
            storm.tick()
            if tally.ran % RENEW_MS == 0:
                storm.limiter.renew(True, storm.now)
            storm.take()
        except MemoryError:
            tally.failures += 1
        finally:
            micropython.heap_unlock()
        tally.ran += 1
    tally.count("coils fired by reflexes", storm.reports[c.FIRED])
    tally.count("edges", storm.edges)
    if tally.failures:
        tally.wrong.append("a tick of the callback allocates")


def _steps(tally: Tally, count: int, seed: int) -> None:
    """Steps of the console while a ball is in play."""
    play = machines.play(GAME, seed)
    step = LockedHeapRunner(play.console)
    play.run_to = step.run_to
    while step.steps < count:
        play.go(A_PIECE_MS)
    tally.ran += step.steps
    tally.count("steps of the console", step.steps)
    tally.count("events", play.events)
    if step.allocating:
        tally.failures += step.allocating
        tally.wrong.append(f"{step.allocating} of {step.steps} steps of the console allocate")


class LockedHeapRunner:
    """Runs a console with the heap locked while a ball is in play; counts the steps that allocate."""

    def __init__(self, console: "Console") -> None:
        self.steps = 0
        self.allocating = 0
        self._console = console

    def run_to(self, now_ms: int, until_coil: bool) -> int:
        """`Console.run_to`; a step that allocates is counted and run again with the heap free."""
        console = self._console
        if not console.play.live:
            return console.run_to(now_ms, until_coil)
        self.steps += 1
        micropython.heap_lock()
        try:
            return console.run_to(now_ms, until_coil)
        except MemoryError:
            self.allocating += 1
        finally:
            micropython.heap_unlock()
        return console.run_to(now_ms, until_coil)

    from firmware.console import Console


TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import ModuleType
