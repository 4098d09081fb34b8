"""The line to the host: the chip's USB serial port, as bytes.

Every byte value is data, so Ctrl-C does not reach MicroPython. What breaks in is no beginning of a frame and
is heard as KeyboardInterrupt: Ctrl-C, return before it or not, and nothing after it; or a return after it, as
mpremote sends it: no frame has that for its type. What comes next then is for MicroPython's prompt.
"""

import select
import sys
import time

WRITE_MS = 50  # real time: a host that does not read for this long is as good as gone
PATIENT_MS = 5000  # lock-step: nothing is energised, the host may think
CTRL_C = 3
RETURN = 13
BREAK_MOST = 8
TYPE_AT = 2  # place of a frame's type on the line
BREAK_MS = 30
IDLE_MS = 1000  # after so long whatever was begun is no frame any more


class Line:
    """Never waits for bytes; writes all or fails."""

    def __init__(self) -> None:
        self.wait_ms = PATIENT_MS
        self._in = sys.stdin.buffer
        self._out = sys.stdout.buffer
        self._readable = select.poll()
        self._readable.register(sys.stdin, select.POLLIN)
        self._writable = select.poll()
        self._writable.register(sys.stdout, select.POLLOUT)
        self._byte = bytearray(1)
        self._breaks = 0  # bytes of a break since the last frame ended; −1: others came too
        self._last = 0

    def read(self) -> int:
        """The next byte, −1 when none waits. Raises KeyboardInterrupt when somebody breaks in."""
        for _ in self._readable.ipoll(0):
            self._in.readinto(self._byte)
            self._judge(self._byte[0])
            return self._byte[0]
        if self._breaks > 0 and self._byte[0] == CTRL_C:
            if time.ticks_diff(time.ticks_ms(), self._last) > BREAK_MS:
                raise KeyboardInterrupt
        return -1

    def _judge(self, byte: int) -> None:
        now = time.ticks_ms()
        if byte == 0 or time.ticks_diff(now, self._last) > IDLE_MS:
            self._breaks = 0
        self._last = now
        if byte == RETURN and self._breaks == TYPE_AT:
            raise KeyboardInterrupt
        if byte and self._breaks >= 0:
            known = byte == CTRL_C or (byte == RETURN and not self._breaks)
            self._breaks = self._breaks + 1 if known and self._breaks < BREAK_MOST else -1

    def write(self, data: bytearray, end: int) -> None:
        """Write `data[0:end]`. Raises OSError when the host does not take it in time."""
        at = 0
        while at < end:
            if not self._room():
                raise OSError("the host does not read")
            n = self._out.write(memoryview(data)[at:end])
            at += n or 0

    def say(self, words: str) -> None:
        """A sentence for whoever reads along; it ends like a frame, so that a host passes over it."""
        for _ in self._writable.ipoll(0):
            self._out.write(words.encode() + b"\r\n\0")

    def _room(self) -> bool:
        for _ in self._writable.ipoll(self.wait_ms):
            return True
        return False
