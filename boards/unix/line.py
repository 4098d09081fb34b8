"""The line to the host: this process's standard input and output, as bytes."""

import select
import sys

WRITE_MS = 50  # real time: a host that does not read for this long is as good as gone
# By their names, since CPython has them with other arguments.
BUFFER = "buffer"
POLL = "poll"
PATIENT_MS = 5000  # lock-step: nothing is energised, the host may think


class Line:
    """Never waits for more than came; writes all or fails.

    It reads up to `most` bytes at once. More than 1 needs an input that does not block, as the
    bench makes it: a blocking one would wait for all of them, deaf to the clock.
    """

    def __init__(self, most: int = 1) -> None:
        self.wait_ms = PATIENT_MS
        self.held = bytearray(most)
        self._in: ByteSource = getattr(sys.stdin, BUFFER)
        self._out: ByteSink = getattr(sys.stdout, BUFFER)
        self._readable: Poll = getattr(select, POLL)()
        self._readable.register(sys.stdin, select.POLLIN)
        self._writable: Poll = getattr(select, POLL)()
        self._writable.register(sys.stdout, select.POLLOUT)

    def ready(self, wait_ms: int) -> bool:
        """Wait up to `wait_ms` for a byte, or for the end of the line."""
        for _ in self._readable.ipoll(wait_ms):
            return True
        return False

    def read(self) -> int:
        """Fill `held`; how many bytes came. Raises OSError when the host is gone."""
        n = self._in.readinto(self.held)
        if n == 0:
            raise OSError("the line ended")
        return n or 0

    def write(self, data: bytearray, end: int) -> None:
        """Write `data[0:end]`. Raises OSError when the host does not take it in time."""
        at = 0
        while at < end:
            n = self._out.write(data, at, end - at)
            if n:
                at += n
            elif not self._room():
                raise OSError("the host does not read")

    def _room(self) -> bool:
        for _ in self._writable.ipoll(self.wait_ms):
            return True
        return False


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import Protocol

    class HostLine(Protocol):
        """A line to the host, as main.serve uses it."""

        wait_ms: int
        held: bytearray

        def ready(self, wait_ms: int) -> bool:
            """Wait up to `wait_ms` for a byte, or for the end of the line."""

        def read(self) -> int:
            """Fill `held`; how many bytes came. Raises OSError when the host is gone."""

    class ByteSource(Protocol):
        """A stream of bytes that is read; MicroPython's."""

        def readinto(self, buffer: bytearray) -> "int | None":
            """Fill `buffer`; how many bytes came, None when none is there yet."""

    class ByteSink(Protocol):
        """A stream of bytes that is written; MicroPython's."""

        def write(self, data: bytearray, at: int, size: int) -> "int | None":
            """Write `size` bytes of `data` from `at` on; how many went out."""

    class Poll(Protocol):
        """MicroPython's select.poll."""

        def register(self, stream: object, events: int) -> object:
            """Look for these events of a stream."""

        def ipoll(self, wait_ms: int) -> "Iterator[object]":
            """The streams that are ready, after `wait_ms` at most; allocates nothing."""
