"""About how much heap a game takes on a board: objects counted on the host, with what each takes on 32 bits.

The table is MicroPython's: blocks of 16 bytes, a word of 4, two words for an entry of a dict. A test holds it
against a 32-bit MicroPython (hil.benchmarks.heap). What is frozen takes none: code, constants, texts.
"""

import ast
import importlib
import sys
from array import array
from collections.abc import Iterable, Iterator
from types import FunctionType, MethodType, ModuleType

from firmware.base import numbers
from firmware.board import Board
from firmware.console import Console
from firmware.devices.store.key import key_of
from firmware.link.machine import RECORDS
from hil.build.chips import RP2040, Chip
from hil.checks.board_report import BoardReport
from hil.games import Game

BLOCK = 16
WORD = 4
ENTRY = 2 * WORD
OBJECT = 2 * BLOCK  # an instance before its attributes
LIST_LEAST = 4  # entries that a list has room for at least
BOUND = BLOCK
CLASS = 4 * BLOCK  # without the entries of its dict
FUNCTION = BLOCK
MODULE = 3 * BLOCK  # without the entries of its dict
NOT_THERE = ("firmware.charts.pack", "firmware.charts.tree", "firmware.charts.index", "firmware.charts.row")
PLAIN = (int, bool, str, bytes, float, type(None), range)


def heap(board: str, game: Game, chip: Chip = RP2040) -> BoardReport:
    """What is printed and refused of the heap."""
    limits = importlib.import_module(f"boards.{board}.check")
    whole = limits.HEAP if chip is RP2040 else limits.HEAP_PICO_2
    takes = estimate(game)
    left = whole - limits.HEAP_BOARD - takes
    line = (
        f"heap: some {takes:,} B for firmware and game, {limits.HEAP_BOARD:,} B for the board's own;"
        f" {left:,} of {whole:,} B are left"
    )
    if left >= limits.HEAP_SPARE:
        return BoardReport((line,))
    words = (
        f"the game leaves {left:,} B of heap; {limits.HEAP_SPARE:,} are needed, for the operator's pages"
        " and for what comes and goes: leave a feature out, or keep its tables in the sources"
    )
    return BoardReport((line,), refused=(words,))


def estimate(game: Game) -> int:
    """Bytes of heap of firmware and game with a console that is ready, without the board's own."""
    host = numbers.in_arrays
    numbers.in_arrays = True  # as on a board
    try:
        console = Console(game.module, Board(), trace_capacity=RECORDS, store=Nowhere())
    finally:
        numbers.in_arrays = host
    names = {name for name in _imported(game) if name not in NOT_THERE}
    return sum(_module(name) for name in names) + _objects(console)


class Nowhere:
    """A store that keeps nothing (play.persistence says what a store is)."""

    def __init__(self) -> None:
        self.lost: list[str] = []

    def key(self, name: str) -> int:
        """A number that belongs to the name."""
        return key_of(name)

    def load(self) -> dict[int, int]:
        """Nothing was saved."""
        return {}

    def save(self, pairs: Iterable[tuple[int, int]]) -> None:
        """Read the pairs, and drop them."""
        for _ in pairs:
            pass


def blocks(size: int) -> int:
    """`size` bytes in whole blocks."""
    return (size + BLOCK - 1) // BLOCK * BLOCK


# Modules -------------------------------------------------------------------------------------


def _imported(game: Game) -> set[str]:
    """The modules that the game's and the link's import at their top, without those that are for the host."""
    found: set[str] = set()
    waiting = [f"{game.package}.game", "firmware.link.device", "firmware.console", "firmware.charts.unpack"]
    while waiting:
        name = waiting.pop()
        ours = name.partition(".")[0] in ("firmware", game.package)
        if name in found or name in NOT_THERE or name not in sys.modules or not ours:
            continue
        found.add(name)
        waiting += [*_imports(name), *(name.rpartition(".")[0],) * ("." in name)]
    return found


def _tree(name: str) -> ast.Module:
    path = sys.modules[name].__file__
    assert path
    with open(path, "rb") as source:
        return ast.parse(source.read())


def _imports(name: str) -> Iterator[str]:
    for node in _tree(name).body:
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{each.name}" for each in node.names)
        elif isinstance(node, ast.Import):
            yield from (each.name for each in node.names)


def _module(name: str) -> int:
    """The module object, its names, functions and classes."""
    return MODULE + _scope(_tree(name).body)


def _scope(body: list[ast.stmt]) -> int:
    """The names that a body binds, and what it makes."""
    size, names = 0, 0
    for node in body:
        if isinstance(node, ast.FunctionDef):
            names += 1
            size += FUNCTION + BLOCK * len(node.decorator_list)
        elif isinstance(node, ast.ClassDef):
            names += 1
            size += CLASS + _scope(node.body)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            names += len(node.names)
        elif isinstance(node, ast.Assign) or (isinstance(node, ast.AnnAssign) and node.value is not None):
            names += 1
    return size + blocks(ENTRY * names)


# Objects -------------------------------------------------------------------------------------


def _objects(console: Console) -> int:
    """Everything that can be reached from a console, but for what the modules have as constants."""
    known = {id(value) for module in list(sys.modules.values()) for value in _constants(module)}
    known |= {id(value) for name, value in vars(console.table).items() if name not in ("owners", "calls")}
    total = 0
    waiting: list[object] = [console]
    while waiting:
        value = waiting.pop()
        if id(value) in known or isinstance(value, (*PLAIN, type, ModuleType, FunctionType)):
            continue
        known.add(id(value))
        size, inside = _one(value)
        total += size
        waiting += inside
    return total


def _constants(module: ModuleType) -> Iterator[object]:
    """Tuples and texts at the top of a module and in its classes, and all within them."""
    waiting = [value for value in vars(module).values() if isinstance(value, tuple | type)]
    while waiting:
        value = waiting.pop()
        if isinstance(value, tuple):
            yield value
            waiting += [each for each in value if isinstance(each, tuple)]
        elif value.__module__ == module.__name__:
            waiting += [each for each in vars(value).values() if isinstance(each, tuple)]


def _one(value: object) -> tuple[int, list[object]]:
    """The bytes of one object, and what it holds."""
    if isinstance(value, MethodType):
        return BOUND, [value.__self__]
    if isinstance(value, list):
        return BLOCK + blocks(WORD * max(LIST_LEAST, len(value))), value
    if isinstance(value, tuple):
        return blocks(8 + WORD * len(value)), list(value)
    if isinstance(value, dict):
        return 2 * BLOCK + blocks(ENTRY * _room(len(value))), [*value.keys(), *value.values()]
    if isinstance(value, set | frozenset):
        return BLOCK + blocks(WORD * _room(len(value))), list(value)
    if isinstance(value, bytearray):
        return BLOCK + blocks(len(value)), []
    if isinstance(value, array):
        return BLOCK + blocks(len(value) * value.itemsize), []
    if hasattr(value, "__dict__"):
        held = vars(value)
        return OBJECT + blocks(ENTRY * len(held)), list(held.values())
    return 0, []


def _room(count: int) -> int:
    """Entries that a hash table of that many has room for: primes, half as many again each time."""
    for size in (1, 2, 4, 6, 8, 10, 12, 17, 23, 29, 37, 47, 59, 73, 97, 127, 167, 223, 293, 389, 521, 691):
        if size >= count:
            return size
    return count * 4 // 3
