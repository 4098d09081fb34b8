"""How the board's program ends: coils off first, then the reason on record, on the line and on the displays.

After an error the program starts again, with coils off until a person acknowledges it (`main`). An error
before it began, or in the third start within a minute, leaves it standing here: it repeats its sentence,
blinks, and answers a host. Only Ctrl-C leads to MicroPython's prompt.
"""

import gc
import io
import sys
import time

import machine
import micropython

from boards.pico_matrix import crash as place
from boards.pico_matrix import flash, isr, restarts, slots, status_led
from boards.pico_matrix.safe_levels import set_safe_levels
from firmware.base import crash
from firmware.base.ticks import MASK
from firmware.board import Board
from firmware.link.device import Device
from firmware.link.machine import Machine
from firmware.play.pages import CELLS, CHUNKS

RESERVE = 2048  # bytes held for what must be said when memory has run out
SAY_MS = 10_000
SLEEP_MS = 5
DISPLAY_TURNS = 8
PROMPT = "stopped by Ctrl-C: coils are off, the watchdog is too; Ctrl-D starts the game again"


class HardwareFault(Exception):
    """The callback or the senses found that the hardware is not to be trusted. Caused by the hardware."""


class Shutdown:
    """Ends the program in order: `hardware` and `loop` are set as they are made."""

    def __init__(self, package: str, slot: int, line: "Line", may_restart: bool) -> None:
        self.hardware: Hardware | None = None
        self.loop: Loop | None = None
        self._package = package
        self._slot = slot
        self.line = line
        self._may_restart = may_restart
        self._reserve = bytearray(RESERVE)

    def end(self, error: BaseException) -> None:
        """After an error. Leaves with SystemExit (the soft reset) or KeyboardInterrupt, or not at all."""
        off(self.hardware)
        kind = self._kind(error)
        sentence = crash.KINDS[kind]
        try:
            sentence = self._recorded(kind, error)
            self._tell(sentence)
        finally:
            off(self.hardware)
            restarts.end_work()
            restarts.feed()
            if self.loop and self._may_restart:
                machine.soft_reset()  # if that does not start the program again, the watchdog does
            self.loop = None
            gc.collect()
            self._stay(sentence, kind)

    def prompt(self) -> None:
        """A person broke in, and gets MicroPython's prompt.

        The watchdog is disabled, for nothing is left to guard and nothing can feed it: a host's tool that
        copies files resets the interpreter, and being reset in the middle would cut a file.
        """
        off(self.hardware)
        restarts.end_work()
        restarts.disable_watchdog()
        print(PROMPT)
        micropython.kbd_intr(3)

    def _recorded(self, kind: int, error: BaseException) -> str:
        """Write the crash record; its sentence."""
        self._reserve = bytearray(0)
        gc.collect()
        console = self.loop.console() if self.loop else None
        words = str(error) if kind == crash.HARDWARE else explained(error)
        sentence = crash.KINDS[kind] + ": " + words
        crash.write(place.memory(), kind, sentence, console.play.faults.unsaved() if console else [])
        return sentence

    def _kind(self, error: BaseException) -> int:
        if isinstance(error, HardwareFault):
            return crash.HARDWARE
        kind = crash.kind_of(error)
        return crash.START_UP if kind == crash.PROGRAM and not self.loop else kind

    def _tell(self, sentence: str) -> None:
        """On the line, to a host in a session in its own way, and on the displays."""
        try:
            if self.loop:
                self.loop.device.end(sentence)
        except OSError:
            pass  # the host does not read
        self.line.say(sentence)
        if self.hardware:
            show(self.hardware.slow_outputs, b"ENDED BY ERROR", b"COILS ARE OFF")

    def _stay(self, sentence: str, kind: int) -> None:
        """Coils off for good; say so until the power is cut or somebody breaks in."""
        machine_ = Stopped(self._package, self._slot, sentence)
        device = Device(machine_, self.line.write)
        lamp = status_led.StatusLed()
        lamp.code = kind
        said = time.ticks_ms()
        while True:
            now: Any = time.ticks_ms()  # Any: a number, of which the stubs make a type of its own
            restarts.feed()
            lamp.update(now)
            byte = self.line.read()
            while byte >= 0:
                device.take(byte, now & MASK)
                byte = self.line.read()
            if time.ticks_diff(now, said) > SAY_MS:
                said = now
                self.line.say(sentence)
            time.sleep_ms(SLEEP_MS)


class Stopped(Machine):
    """What a host finds when the program could not start, or ended too often: it may ask who this is."""

    def __init__(self, package: str, slot: int, sentence: str) -> None:
        self.name = package.rpartition(".")[2]
        self.ended = sentence
        self._slot = slot

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """As the machine that should run."""
        return flash.identify(nonce, slots.contents(self._slot))

    def console(self, seed: int, settings: "dict[str, int]", board: Board) -> "Console":
        """There is none. Raises RuntimeError with the reason."""
        raise RuntimeError(self.ended)

    def board(self) -> Board:
        """One that drives nothing."""
        return Board()


def explained(error: BaseException) -> str:
    """What was raised and where, in one line."""
    text: Any = io.StringIO()  # Any: the stubs know no StringIO that print_exception takes
    sys.print_exception(error, text)
    return crash.place(text.getvalue())


def show(outputs: "SlowOutputs", first: bytes, second: bytes) -> None:
    """Two lines on the displays, without a console."""
    for line, text in enumerate((first, second)):
        for chunk in range(CHUNKS):
            cells = 0
            for at in range(chunk * 3 + 2, chunk * 3 - 1, -1):
                cells = cells << 9 | (text[at] if at < min(len(text), CELLS) else 32)
            outputs.text(line * 8 + chunk, cells)
    for _ in range(DISPLAY_TURNS):
        outputs.turn(0)


def off(hardware: "Hardware | None") -> None:
    """Off by the hardware's own way, and by plain pin writes if that fails."""
    try:
        if hardware and not hardware.closed:
            hardware.close()
    finally:
        isr.silence(isr.registers)
        set_safe_levels()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from boards.pico_matrix.board import Hardware
    from boards.pico_matrix.interfaces import Loop
    from boards.pico_matrix.line import Line
    from boards.pico_matrix.slow_outputs import SlowOutputs
    from firmware.console import Console
