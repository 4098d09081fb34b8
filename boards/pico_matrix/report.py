"""Figures of this very chip, a line each, for `inlane measure board`: run at the prompt, everything off.

It needs no driver board. Nothing is energised: no pin is touched but by what the flash and the timer do.
"""

import gc
import time

import machine
import micropython

TURNS = 1000
JITTER_MS = 1000
SECTOR = 4096


class Box:
    """Something with an attribute and a method."""

    def __init__(self) -> None:
        self.n = 0

    def take(self, n: int) -> int:
        """`n`."""
        return n


class Beat:
    """A hard timer's callback: the shortest and the longest time between two calls, in µs."""

    def __init__(self) -> None:
        self.count = 0
        self.shortest = 1 << 29
        self.longest = 0
        self._last = 0

    def __call__(self, _timer: object) -> None:
        """Record the time since the last call."""
        now = time.ticks_us()
        if self.count:
            past = time.ticks_diff(now, self._last)
            self.shortest = min(self.shortest, past)
            self.longest = max(self.longest, past)
        self._last = now
        self.count += 1


def print_all() -> None:
    """Every figure as name, number and unit."""
    for name, number, unit in _speed() + _memory() + _timing():
        print(name, number, unit)


def _speed() -> "list[tuple[str, int, str]]":
    box = Box()
    empty = _timed(_empty, box)
    return [
        ("clock", machine.freq() // 1_000_000, "MHz"),
        ("loop_turn", empty, "ns"),
        ("attribute_load", _timed(_loads, box) - empty, "ns"),
        ("method_call", _timed(_calls, box) - empty, "ns"),
        ("dict_lookup", _timed(_lookups, box) - empty, "ns"),
    ]


def _timed(act: "Callable[[Box], None]", box: Box) -> int:
    """Nanoseconds a turn of one of the loops below."""
    began = time.ticks_us()
    act(box)
    us: int = time.ticks_diff(time.ticks_us(), began)
    return us * 1000 // TURNS


def _empty(_box: Box) -> None:
    for _ in range(TURNS):
        pass


def _loads(box: Box) -> None:
    for _ in range(TURNS):
        box.n  # noqa: B018 - the load is what is timed


def _calls(box: Box) -> None:
    for n in range(TURNS):
        box.take(n)


def _lookups(_box: Box) -> None:
    table = {n: n for n in range(32)}
    for _ in range(TURNS):
        table[17]


def _memory() -> "list[tuple[str, int, str]]":
    began = time.ticks_us()
    gc.collect()
    took = time.ticks_diff(time.ticks_us(), began)
    return [
        ("collection", took, "us"),
        ("heap_used", gc.mem_alloc(), "bytes"),
        ("heap_free", gc.mem_free(), "bytes"),
        ("heap_largest_block", largest_block(), "bytes"),
        ("stack_used_at_the_prompt", micropython.stack_use(), "bytes"),
    ]


def largest_block() -> int:
    """Bytes of the largest piece of heap that can be had, to within 64."""
    low, high = 0, gc.mem_free()
    while high - low > 64:
        middle = (low + high) // 2
        piece = None
        try:
            piece = bytearray(middle)
            low = middle
        except MemoryError:
            high = middle
        del piece
        gc.collect()
    return low


def _timing() -> "list[tuple[str, int, str]]":
    """How evenly a hard 1 kHz timer calls, alone, beside collections, and while flash is written."""
    idle = _beats(lambda: time.sleep_ms(JITTER_MS))
    beside = _beats(_collect)
    written = _beats(_write)
    return [
        ("timer_shortest", idle.shortest, "us"),
        ("timer_longest", idle.longest, "us"),
        ("timer_longest_beside_collections", beside.longest, "us"),
        ("flash_blind_time", written.longest, "us"),
    ]


def _beats(act: "Callable[[], None]") -> Beat:
    beat = Beat()
    timer = machine.Timer(-1)
    timer.init(period=1, mode=machine.Timer.PERIODIC, callback=beat, hard=True)
    act()
    timer.deinit()
    return beat


def _collect() -> None:
    until = time.ticks_add(time.ticks_ms(), JITTER_MS)
    while time.ticks_diff(until, time.ticks_ms()) > 0:
        gc.collect()


def _write() -> None:
    """The header of the slot that is not in use: erased and written, as a trial game begins."""
    from boards.pico_matrix import slots

    slots.begin()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
