"""Frames over an open serial port: each in order, or LinkError with the reason, in bounded time."""

import time
from collections import deque
from collections.abc import Callable
from typing import Protocol, cast

import serial

from firmware.base.errors import LinkError
from firmware.link import frames
from hil.bench.targets import wire

READ_S = 0.02  # longest one read waits; a deadline is missed by this much at most
JUNK = 65536  # most bytes that are skipped before the answer to HELLO

Frame = tuple[int, bytes]


class Port(Protocol):
    """An open serial port as pyserial has it; an OSError from any call means that the line is broken."""

    @property
    def in_waiting(self) -> int:
        """How many bytes `read` would give at once."""

    def read(self, size: int, /) -> bytes:
        """Up to `size` bytes, after READ_S at most."""

    def write(self, data: bytes, /) -> object:
        """Send these bytes."""

    def close(self) -> None:
        """Give the line back to the system."""


class DeviceGaveUp(LinkError):
    """The device switched everything off and left the session; `reason` is one of firmware.link.frames."""

    def __init__(self, reason: int, words: str) -> None:
        super().__init__(f"the device switched off and gave up: {words}")
        self.reason = reason
        self.words = words


class Link:
    """The host's end of the line. Nothing is retried: after an error every call fails until `greet`."""

    def __init__(self, port: Port, clock: Callable[[], float] = time.monotonic) -> None:
        self.clock = clock
        self._port = port
        self._out = bytearray()
        self._chunks: deque[bytes] = deque()
        self._tail = b""
        self._sent = 0
        self._taken = 0
        self._broken = ""

    def close(self) -> None:
        """Send STOP and give the line back; never raises: a device whose line breaks stops by itself."""
        try:
            self.send(frames.STOP)
            self.flush()
        except LinkError:
            pass  # nobody is there to be stopped
        try:
            self._port.close()
        except OSError:
            pass  # closing a line that is gone

    def fail(self, reason: str) -> LinkError:
        """Mark the link as broken; returns the error to raise, with the first reason."""
        self._broken = self._broken or reason
        return LinkError(self._broken)

    def send(self, kind: int, payload: bytes = b"") -> None:
        """Queue a frame for `flush`."""
        self._out += wire.pack(self._sent, kind, payload)
        self._sent = (self._sent + 1) & 0xFF

    def flush(self) -> None:
        """Write every queued frame. Raises LinkError."""
        if self._broken:
            raise LinkError(self._broken)
        if self._out:
            out = bytes(self._out)
            self._out.clear()
            try:
                self._port.write(out)
            except OSError as error:
                raise self.fail(f"the line broke while sending: {error}") from None

    def greet(self, nonce: bytes, wait_s: float, kind: int = frames.HELLO) -> bytes:
        """Begin a session, with HELLO or WATCH; returns WELCOME's payload. Raises LinkError.

        Bytes from before it are skipped.
        """
        self._broken = ""
        self._discard_input()
        self._out = bytearray(b"\0")
        self._sent = self._taken = 0
        self.send(kind, nonce + bytes((frames.PROTOCOL,)))
        self.flush()
        deadline = self.clock() + wait_s
        passed = 0
        while (chunk := self._chunk(deadline)) is not None and passed <= JUNK:
            passed += len(chunk) + 1
            try:
                sequence, kind, payload = wire.unpack(chunk)
            except wire.DamagedFrame:
                continue
            if kind == frames.WELCOME and sequence == 0:
                self._taken = 1
                return payload
        raise self.fail(f"the device does not answer {'HELLO' if kind == frames.HELLO else 'WATCH'}")

    def _discard_input(self) -> None:
        """Discard input until the line is quiet; it may hold the answer to an earlier HELLO."""
        passed = 0
        while passed <= JUNK and self._read():
            passed += sum(len(chunk) + 1 for chunk in self._chunks) + len(self._tail)
            self._chunks.clear()
            self._tail = b""

    def poll(self, wait_s: float) -> Frame | None:
        """The next frame, or None when none came in time. Raises LinkError."""
        chunk = self._chunk(self.clock() + wait_s)
        if chunk is None:
            return None
        try:
            sequence, kind, payload = wire.unpack(chunk)
        except wire.DamagedFrame:
            raise self.fail("a frame from the device arrived damaged") from None
        if sequence != self._taken:
            raise self.fail(f"frame {self._taken} from the device is missing, {sequence} came")
        self._taken = (sequence + 1) & 0xFF
        if kind == frames.FAULT:
            self._broken = "the device gave up before"
            raise DeviceGaveUp(payload[0] if payload else 0, payload[1:].decode("utf-8", "replace"))
        return kind, payload

    def receive(self, wait_s: float) -> Frame:
        """The next frame. Raises LinkError, also when none came in time."""
        frame = self.poll(wait_s)
        if frame is None:
            raise self.fail(f"nothing came from the device for {wait_s:g} s")
        return frame

    def _chunk(self, deadline: float) -> bytes | None:
        while not self._chunks:
            if self._broken:
                raise LinkError(self._broken)
            if not self._read() and self.clock() >= deadline:
                return None
        return self._chunks.popleft()

    def _read(self) -> bool:
        try:
            data = self._port.read(max(1, self._port.in_waiting))
        except OSError as error:
            raise self.fail(f"the line broke: {error}") from None
        if not data:
            return False
        parts = (self._tail + data).split(b"\0")
        self._tail = parts.pop()
        self._chunks.extend(part for part in parts if part)
        return True


def open_port(url: str) -> Port:
    """A pyserial port, by device name or URL. Raises LinkError when it will not open."""
    try:
        return cast(Port, serial.serial_for_url(url, baudrate=115200, timeout=READ_S, write_timeout=2))
    except (serial.SerialException, ValueError, OSError) as error:
        raise LinkError(f"the port '{url}' does not open: {error}") from None
