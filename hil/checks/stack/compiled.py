"""What mpy-cross made of a module: each function with its words of state (the .mpy format, version 6)."""

import re
from dataclasses import dataclass, field
from pathlib import Path

from hil.build import mpy

VERSION = 6
STATIC = 1  # a name that every MicroPython knows by number; the low bit of its length says so
SIZED = (5, 6, 7, 8, 9)  # kinds of constants that have bytes: text, bytes, whole number, float, complex
ENDED = (5, 6)  # of those, the ones with a nought behind them
TUPLE = 10
MACHINE_CODE = re.compile(r"^[ \t]*@micropython\.(?:viper|native)[ \t]*$", re.MULTILINE)


@dataclass
class Code:
    """One function as compiled. `state`: words; `tries`: handlers that can be open at once.

    `name` is "" where it is one that every MicroPython knows by number. `size`: bytes of code.
    """

    name: str
    state: int = 0
    tries: int = 0
    size: int = 0
    inner: "list[Code]" = field(default_factory=list)


class Reader:
    """Parses an .mpy file. Raises ValueError for another version."""

    def __init__(self, data: bytes) -> None:
        if data[:2] != bytes((ord("M"), VERSION)):
            raise ValueError(f"this is no .mpy file of version {VERSION}")
        self._data = data
        self._at = 4
        names, constants = self._number(), self._number()
        self._names = [self._name() for _ in range(names)]
        self.constants = [self._constant() for _ in range(constants)]
        """The size in bytes of each."""
        self.code = self._code()

    def _byte(self) -> int:
        self._at += 1
        return self._data[self._at - 1]

    def _number(self) -> int:
        value = 0
        while True:
            byte = self._byte()
            value = value << 7 | byte & 127
            if byte < 128:
                return value

    def _taken(self, size: int) -> bytes:
        self._at += size
        return self._data[self._at - size : self._at]

    def _name(self) -> str:
        length = self._number()
        if length & STATIC:
            return ""
        return self._taken((length >> 1) + 1)[:-1].decode()

    def _constant(self) -> int:
        kind = self._byte()
        if kind == TUPLE:
            return sum(self._constant() for _ in range(self._number()))
        if kind not in SIZED:
            return 0
        size = self._number()
        self._taken(size + (kind in ENDED))
        return size

    def _code(self) -> Code:
        head = self._number()
        kind, children, size = head & 3, head & 4, head >> 3
        if kind:
            raise ValueError("only bytecode is read")
        start = self._at
        code = Code("", size=size)
        self._prelude(code)
        self._at = start + size
        if children:
            code.inner = [self._code() for _ in range(self._number())]
        return code

    def _prelude(self, code: Code) -> None:
        z = self._byte()
        state, tries = z >> 3 & 15, z >> 2 & 1
        n = 0
        while z & 0x80:
            z = self._byte()
            state |= (z & 0x30) << 2 * n
            tries |= (z & 2) << n
            n += 1
        code.state, code.tries = state + 1, tries
        z = self._byte()
        while z & 0x80:
            z = self._byte()
        code.name = self._names[self._number()]


def compiled(path: Path) -> Code:
    """A file as bytecode throughout. Raises GameError with the line; UsageError: no compiler."""
    text = MACHINE_CODE.sub("", path.read_text(encoding="utf-8"))
    return Reader(mpy.compiled_text(text, path.name)).code
