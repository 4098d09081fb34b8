"""An image: objects that were made on the host, put together again on the board.

The data are numbers of seven bits a byte, lowest first, bit 7 set on all but the last, and raw
bytes. A value is a number: odd, an integer (sign in its lowest bit); even, the place of an object.
First comes the number of places. They count through None, False, True, the classes and functions that
the image names, then the objects in the order below. hil/bundle/image.py writes it.
"""

import gc
import hashlib
from array import array
from struct import calcsize

PIECE = 64
OFTEN = 128  # objects made between two collections


class Reader:
    """Reads numbers and values off a file, a piece at a time."""

    def __init__(self, source: "BinaryIO", named: "tuple[object, ...]") -> None:
        self._source = source
        self._piece = bytearray(PIECE)
        self._at = PIECE
        self.made: list[Any] = [None] * self.number()
        del self.made[:]  # MicroPython keeps its memory, so that it need not grow, and move, later
        self.made.extend((None, False, True))
        self.made.extend(named)

    def byte(self) -> int:
        """The next byte."""
        if self._at == PIECE:
            self._source.readinto(self._piece)  # type: ignore[attr-defined]
            self._at = 0
        self._at += 1
        return self._piece[self._at - 1]

    def number(self) -> int:
        """The next number."""
        n = 0
        shift = 0
        while True:
            byte = self.byte()
            n |= (byte & 127) << shift
            if byte < 128:
                return n
            shift += 7

    def value(self) -> "Any":
        """The next value."""
        n = self.number()
        if not n & 1:
            return self.made[n >> 1]
        n >>= 1
        return -1 - (n >> 1) if n & 1 else n >> 1

    def raw(self) -> bytearray:
        """The next bytes, their number before them."""
        found = bytearray(self.number())
        for i in range(len(found)):
            found[i] = self.byte()
        return found


def load(
    source: "BinaryIO", shapes: "tuple[tuple[type, tuple[str, ...]], ...]", named: "tuple[object, ...]"
) -> "list[Any]":
    """The objects that the image is of; `shapes`: each class with the attributes its instances have.

    What making them leaves behind is collected on the way, so that those that stay lie close together.
    """
    reader = Reader(source, named)
    number, value, made = reader.number, reader.value, reader.made
    instances = len(made)
    counts = [number() for _ in shapes]
    for i in range(len(shapes)):
        for _ in range(counts[i]):
            made.append(object.__new__(shapes[i][0]))
    lists = len(made)
    for _ in range(number()):
        made.append([None] * number())
    dicts = len(made)
    for _ in range(number()):
        made.append({})
    _load_plain(reader)
    for _ in range(number()):
        made.append(getattr(value(), value()))
    for _ in range(number()):
        made.append(tuple([value() for _ in range(number())]))
        _tidy(len(made))
    at = instances
    for i in range(len(shapes)):
        for _ in range(counts[i]):
            for name in shapes[i][1]:
                setattr(made[at], name, value())
            at += 1
            _tidy(at)
    for at in range(lists, dicts):
        for i in range(len(made[at])):
            made[at][i] = value()
    at = dicts
    for _ in range(number()):
        for _ in range(number()):
            key = value()
            made[at][key] = value()
        at += 1
    return [value() for _ in range(number())]


def _tidy(done: int) -> None:
    if done % OFTEN == 0:
        gc.collect()


def _load_plain(reader: Reader) -> None:
    """Objects that hold no others."""
    made = reader.made
    for _ in range(reader.number()):
        made.append(bytearray(reader.number()))
    for _ in range(reader.number()):
        made.append(reader.raw())
    for _ in range(reader.number()):
        code = chr(reader.number())
        numbers = reader.number()
        made.append(array(code, bytes(numbers * calcsize(code))))  # a list of them would be much larger
        for i in range(numbers):
            made[-1][i] = reader.value()
        _tidy(len(made))
    for _ in range(reader.number()):
        made.append(bytes(reader.raw()))
    for _ in range(reader.number()):
        made.append(bytes(reader.raw()).decode())
    for _ in range(reader.number()):
        made.append(hashlib.sha256())


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, BinaryIO
