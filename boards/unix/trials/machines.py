"""Makes the consoles of built-in games that trials play on."""

import sys

from boards.unix.trials.balls import PulseRecorder
from boards.unix.trials.play import Play
from firmware.base import ticks
from firmware.board import Board
from firmware.console import Console

RECORDS = 256  # the trace's ring
GAME = "game"  # the module of a game's package that makes the machine
GAMES = ("honey_flow", "kit_room")


def game(name: str) -> "GameModule":
    """The `game` module of a built-in game."""
    package = "firmware.games." + name
    __import__(package + "." + GAME)
    found: GameModule = getattr(sys.modules[package], GAME)
    return found


def play(
    name: str,
    seed: int,
    start_ms: int = 0,
    age_ms: int = 0,
    store: "Store | None" = None,
    outputs: "PulseRecorder | None" = None,
) -> Play:
    """Random play on a fresh console of the game `name`.

    `start_ms`: the clock's value when the console starts; `age_ms`: for how long the console seems to have
    been on, idle, before that; `outputs` records pulses.
    """
    module = game(name)

    def make(board: Board) -> Console:
        console: Console = object.__new__(Console)
        console.set_up(module, RECORDS)
        console.now = age_ms
        console.trace.now = age_ms
        if store:
            console.attach_store(store)
        console.begin(board, seed, {}, start_ms)
        console._start = ticks.add(start_ms, -age_ms)
        return console

    return Play(make, module.WIRING, seed, outputs)


def can_lock_heap() -> bool:
    """Whether this Python can forbid every allocation."""
    return sys.implementation.name == "micropython"


class HeapLock:
    """Makes every allocation raise MemoryError while `is_locked`; does nothing where this Python cannot."""

    def __init__(self) -> None:
        self.is_locked = False
        self._heap: ModuleType | None = __import__("micropython") if can_lock_heap() else None

    def lock(self) -> None:
        """Let every allocation fail from now on."""
        if self._heap and not self.is_locked:
            self.is_locked = True
            self._heap.heap_lock()

    def unlock(self) -> None:
        """Allow allocations again."""
        if self._heap and self.is_locked:
            self._heap.heap_unlock()
            self.is_locked = False


TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import ModuleType

    from firmware.play.interfaces import GameModule, Store
