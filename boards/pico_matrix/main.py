"""The board's program: plays by itself, and lets a host take over. `start.start` calls `main`.

Whatever ends it — an error, a fault of the hardware, Ctrl-C — the outermost frame switches off.
"""

import gc
import io
import sys

import micropython

from boards.pico_matrix import fit, flash, isr, slots, starts
from boards.pico_matrix.board import Hardware, PicoBoard
from boards.pico_matrix.kept import BoardKept
from boards.pico_matrix.line import PATIENT_MS, WRITE_MS, Line
from boards.pico_matrix.off import safe
from boards.pico_matrix.tables import tables
from firmware.base import ticks
from firmware.board import Board
from firmware.console import Console
from firmware.link.device import Device
from firmware.link.machine import RECORDS, Machine

BURST = 64  # bytes heard before the clock is looked at again


class PicoMachine(Machine):
    """One game on the board, frozen or in slot number `slot`."""

    def __init__(self, package: str, slot: int) -> None:
        __import__(package + ".game")
        self._game = sys.modules[package + ".game"]
        self._packed = __import__("packed_charts")  # beside the game, in the image or in the slot
        self._slot = slot
        self.name = package.rpartition(".")[2]
        self.switches = len(self._game.WIRING.SWITCHES)
        self.settings = tuple([row[0] for row in self._game.SETTINGS])
        self.hardware = Hardware(tables(self._game.WIRING))
        self.refusals = fit.refusals(self.hardware)
        if starts.note():
            self.refusals.append(starts.REFUSAL)

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """SHA-256 over the nonce, the image and the game slot in use."""
        return flash.identify(nonce, slots.contents(self._slot))

    def console(self, seed: int, settings: "dict[str, int]", board: Board, store: "Any" = None) -> "Console":
        """A fresh console; the one before is collected first. A bench gives no store."""
        gc.collect()
        console = Console(
            self._game,
            board,
            seed=seed,
            settings=settings,
            trace_capacity=RECORDS,
            store=store,
            packed=self._packed,
        )
        gc.collect()
        return console

    def board(self) -> PicoBoard:
        """The outputs, all off. Coils stay off when the self-test or too many starts say so."""
        board = PicoBoard(self.hardware)
        if self.refusals:
            board.forbid("; ".join([each[2] for each in self.refusals]))
        return board

    def explain(self, error: Exception) -> str:
        """With the file and line where it was raised."""
        text: Any = io.StringIO()
        sys.print_exception(error, text)
        lines = [line.strip() for line in text.getvalue().splitlines() if line.strip()]
        return " ".join(lines[-2:])


class Alone:
    """The game without a host, from start-up until one says hello."""

    def __init__(self, machine_: PicoMachine) -> None:
        self.board = machine_.board()
        store = BoardKept(machine_.hardware, machine_.name)
        self.console = machine_.console(machine_.hardware.now() + 1, {}, self.board, store)
        self._began = machine_.hardware.now()
        self.board.enable(True)
        for name, number, _ in machine_.refusals:
            self.console.play.faults.report(name, number)
            self.console.pad.tell(b"COILS STAY OFF", name.upper().replace("_", " ").encode())

    def turn(self, now: int) -> None:
        """Let the console catch up with the clock."""
        self.console.run_to(ticks.diff(now, self._began))


class Turns:
    """The main loop, a turn at a time."""

    def __init__(self, machine_: PicoMachine, line: Line) -> None:
        self.line = line
        self.hardware = machine_.hardware
        self._refused = bool(machine_.refusals)  # then it goes on after a fault: coils are off, and it tells
        self.device = Device(machine_, line.write)
        self.alone: Alone | None = Alone(machine_)

    def turn(self) -> None:
        """Edges in, time on, outputs on. Raises RuntimeError when the hardware has a fault."""
        console = self._console()
        if console:
            self.hardware.edges(console)
        if self.alone:
            self.alone.turn(self.hardware.now())
        self.device.tick(self.hardware.now())
        console = self._console()
        if console:
            console.coils.drain()
            console.reflexes.renew()
            self.hardware.alive()
            self.hardware.report_faults(console)
        self.hardware.shows.turn(self.hardware.now())
        starts.lasting(self.hardware.cells[isr.UP])
        fault = self.hardware.fault()
        if fault and not self._refused:
            raise RuntimeError(fault)

    def _console(self) -> "Console | None":
        return self.alone.console if self.alone else self.device.live()

    def hear(self) -> None:
        """Bytes in. In lock-step the rules run from here, as few calls deep as can be."""
        self.line.wait_ms = WRITE_MS if self.device.real_time else PATIENT_MS
        for _ in range(BURST):
            byte = self.line.read()
            if byte < 0:
                return
            if self.alone and byte == 0:
                self._hand_over()
            self.device.take(byte, self.hardware.now())

    def _hand_over(self) -> None:
        """The end of a frame: a host is there, and the game that was played alone is over."""
        if self.alone:
            self.alone.board.all_off("a host took over")
            self.alone = None
            starts.watch(False)
            gc.collect()


def main(package: str, slot: int) -> None:
    """Play the game in `package`, from `slot` (-1: the image's own), until something ends it.

    Then everything is off, and the reason is printed.
    """
    micropython.kbd_intr(-1)  # every byte value is data; see line.Line for Ctrl-C
    hardware = None
    try:
        machine_ = PicoMachine(package, slot)
        hardware = machine_.hardware
        turns = Turns(machine_, Line())
        starts.watch(not machine_.refusals)  # a callback that found a fault does not feed it
        while True:
            turns.hear()
            turns.turn()
    except BaseException as error:
        off(hardware)
        sys.print_exception(error)
    finally:
        off(hardware)
        starts.watch(False)
        micropython.kbd_intr(3)


def off(hardware: "Hardware | None") -> None:
    """Off by the hardware's own way, and by plain pin writes if that fails."""
    try:
        if hardware and not hardware.closed:
            hardware.close()
    finally:
        isr.silence()
        safe()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
