"""A chip that is not there: addresses, pins and the modules of MicroPython, as board code uses them.

It is an RP2040, or an RP2350 where a test says so: `parametrize("chip", CHIPS, indirect=True)`.

viper code runs as Python: `ptr32(address)[i]` reads and writes `Chip.words` or an array that was given an
address. Integers are not cut to 32 bits here, but for addresses; the emulated chip is for that.
"""

import builtins
import inspect
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import boards.pico_matrix

sys.path.insert(0, str(Path(__file__).parent))  # for board_bench

APART = 0x10000  # bytes from one array to the next
PACKAGE = "boards.pico_matrix."
STORE = "firmware.devices.store"  # which BoardStore lets go


class Chip:
    """Words by address, arrays by address, and what is told of each write."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.words: dict[int, int] = {}
        self.arrays: dict[int, Any] = {}
        self.reads: dict[int, Any] = {}  # address: function that gives its value
        self.writes: dict[int, Any] = {}  # address: function that is told the value
        self.pins: dict[int, tuple[int, int, int]] = {}
        self.pins_now: dict[int, int] = {}  # levels that a pin reads
        self.levels: list[tuple[int, int]] = []
        self.kept = bytearray(1024)  # RAM that no reset clears
        self.clock_ms = 0

    def place(self, array: Any) -> int:
        """An address for an array of 32-bit cells."""
        for at, known in self.arrays.items():
            if known is array:
                return at
        at = 0x20000000 + APART * len(self.arrays)
        self.arrays[at] = array
        return at

    def find(self, address: int) -> tuple[Any, int]:
        """The array that has this address, and which of its cells; None when it is a register's."""
        return self.arrays.get(address - address % APART), address % APART // 4

    def read(self, address: int) -> int:
        if address in self.reads:
            return int(self.reads[address]())
        return self.words.get(address, 0)

    def write(self, address: int, value: int) -> None:
        self.words[address] = value
        if address in self.writes:
            self.writes[address](value)


class Pointer:
    """ptr32: indexes words from an address, or the cells of an array."""

    chip: Chip

    def __init__(self, at: Any) -> None:
        self.at = at
        self.first = 0
        if isinstance(at, Pointer):
            self.cells, self.at, self.first = at.cells, at.at, at.first
        elif isinstance(at, int):
            self.at = at & 0xFFFFFFFF
            self.cells, self.first = self.chip.find(self.at)
        else:
            self.cells = at

    def __getitem__(self, i: int) -> int:
        if self.cells is not None:
            return int(self.cells[self.first + i])
        return self.chip.read(self.at + 4 * i)

    def __setitem__(self, i: int, value: int) -> None:
        if self.cells is not None:
            self.cells[self.first + i] = value
        else:
            self.chip.write(self.at + 4 * i, value)


def viper(function: Any) -> Any:
    """Arguments annotated ptr32 become pointers, as viper does it."""
    wanted = [each.annotation is Pointer for each in inspect.signature(function).parameters.values()]

    def called(*given: Any) -> Any:
        return function(*[Pointer(arg) if want else arg for arg, want in zip(given, wanted, strict=True)])

    return called


class Registers:
    """machine.mem32."""

    def __init__(self, chip: Chip) -> None:
        self.chip = chip

    def __getitem__(self, address: int) -> int:
        return self.chip.read(address)

    def __setitem__(self, address: int, value: int) -> None:
        self.chip.write(address, value)


def struct_of(chip: Chip) -> Any:
    """uctypes.struct with 32-bit fields alone."""

    class Struct:
        def __init__(self, address: int, fields: dict[str, int]) -> None:
            self.__dict__["_at"] = {name: address + offset for name, offset in fields.items()}

        def __getattr__(self, name: str) -> int:
            return chip.read(self._at[name])

        def __setattr__(self, name: str, value: int) -> None:
            chip.write(self._at[name], value)

    return Struct


def pin_of(chip: Chip) -> Any:
    """machine.Pin: what was asked of each pin last is in `chip.pins`, each level in `chip.levels`."""

    class Pin:
        IN, OUT, PULL_UP, PULL_DOWN = range(4)

        def __init__(self, gpio: int, mode: int = -1, pull: int = -1, value: int = -1) -> None:
            if mode >= 0:
                chip.pins[gpio] = (mode, pull, value)
            self.gpio = gpio

        def value(self, level: int = -1) -> int:
            if level < 0:
                return chip.pins_now.get(self.gpio, 0)
            chip.levels.append((self.gpio, level))
            return level

    return Pin


def soft_reset() -> None:
    """machine.soft_reset."""
    raise SystemExit


def fakes(chip: Chip) -> dict[str, dict[str, Any]]:
    """What the board's modules import, by module."""
    return {
        "micropython": {"const": lambda value: value, "viper": viper, "kbd_intr": lambda _byte: None},
        "machine": {
            "mem32": Registers(chip),
            "Pin": pin_of(chip),
            "disable_irq": lambda: 0,
            "enable_irq": lambda _state: None,
            "soft_reset": soft_reset,
        },
        "uctypes": {
            "addressof": chip.place,
            "struct": struct_of(chip),
            "UINT32": 0,
            "bytearray_at": lambda _address, _size: chip.kept,
        },
        "rp2": {},
        "vfs": {},
    }


@pytest.fixture
def chip(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[Chip]:
    """A chip for one test; board modules are imported anew on it, and forgotten afterwards."""
    made = Chip(getattr(request, "param", "RP2040"))
    monkeypatch.setattr(sys.implementation, "_machine", f"a board with {made.name}", raising=False)
    monkeypatch.setattr(Pointer, "chip", made, raising=False)
    for name in ("ptr8", "ptr16", "ptr32"):
        monkeypatch.setattr(builtins, name, Pointer, raising=False)
    before = {name: module for name, module in sys.modules.items() if name.startswith((PACKAGE, STORE))}
    for name in before:
        if name.startswith(PACKAGE):
            forget(name)
    for name, contents in fakes(made).items():
        module = ModuleType(name)
        module.__dict__.update(contents)
        monkeypatch.setitem(sys.modules, name, module)
    monkeypatch.setattr(time, "ticks_ms", lambda: made.clock_ms, raising=False)
    monkeypatch.setattr(time, "ticks_diff", lambda one, two: one - two, raising=False)
    yield made
    for name in [name for name in sys.modules if name.startswith(PACKAGE)]:
        forget(name)
    sys.modules.update(before)


def forget(name: str) -> None:
    """Have a board module imported anew; its package would still give the old one to `from … import`."""
    del sys.modules[name]
    vars(boards.pico_matrix).pop(name[len(PACKAGE) :], None)
