"""Both ends of the bench link in one process: frames to a device and what it answers, on a clock by hand."""

from firmware.base import ticks
from firmware.link import frames
from firmware.link.device import Device
from firmware.link.frames import Receiver, Sender


class LoopbackLink:
    """A device running `machine`; `got` holds what it sent as (type, payload)."""

    def __init__(self, machine: "Machine") -> None:
        self.got: list[tuple[int, bytes]] = []
        self.now = 0
        self._in = Receiver(frames.TO_HOST)
        self._wire = bytearray()
        self._out = Sender(self._written, frames.TO_DEVICE)
        self.device = Device(machine, self._hear)

    def hello(self) -> None:
        """A new session."""
        self._in = Receiver(frames.TO_HOST)
        self._out.restart()
        self.send(frames.HELLO, bytes(frames.NONCE) + bytes([frames.PROTOCOL]))

    def send(self, kind: int, payload: bytes = b"") -> None:
        """Send one frame."""
        for byte in self.wire(kind, payload):
            self.device.take(byte, self.now)

    def wire(self, kind: int, payload: bytes = b"") -> bytes:
        """The bytes of one frame, in its turn."""
        self._wire = bytearray()
        self._out.begin(kind)
        self._out.put(payload)
        self._out.send()
        return bytes(self._wire)

    def start(self, mode: int, seed: int = 1) -> None:
        """A fresh console, in lock-step or real time."""
        self.send(frames.START, bytes([mode]) + seed.to_bytes(4, "little"))

    def pass_ms(self, ms: int) -> None:
        """Let the board's clock go on."""
        for _ in range(ms):
            self.now = ticks.add(self.now, 1)
            self.device.tick(self.now)

    def fault(self) -> str:
        """The words of the last FAULT, "" when there was none."""
        told = [payload[1:] for kind, payload in self.got if kind == frames.FAULT]
        return str(told[-1], "utf-8") if told else ""

    def kinds(self) -> "list[int]":
        """Types of what it sent."""
        return [kind for kind, _ in self.got]

    def _hear(self, data: bytearray, end: int) -> None:
        for i in range(end):
            if self._in.take(data[i]) == Receiver.FRAME:
                self.got.append((self._in.kind, bytes(self._in.body[frames.HEAD : self._in.end])))

    def _written(self, data: bytearray, end: int) -> None:
        self._wire += data[:end]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.link.machine import Machine
