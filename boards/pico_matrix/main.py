"""The board's program: plays by itself until a host takes over. `start.start` calls `main`.

Whatever ends it — an error, a fault of the hardware, Ctrl-C — goes to `shutdown`, which switches off first.
"""

import gc
import hashlib
import sys

import micropython

from boards.pico_matrix import bring_up, crash, flash, isr, restarts, self_test, slots, status_led
from boards.pico_matrix.board import Hardware, PicoBoard
from boards.pico_matrix.board_tables import board_tables
from boards.pico_matrix.line import PATIENT_MS, WRITE_MS, Line
from boards.pico_matrix.persistent_store import BoardStore
from boards.pico_matrix.shutdown import SAY_MS, HardwareFault, Shutdown, explained
from firmware.base import ticks
from firmware.base.crash import REFUSED, STARTS
from firmware.board import Board
from firmware.console import Console
from firmware.devices import outside_contacts
from firmware.devices.lost_edges import LostEdges
from firmware.devices.native import senses
from firmware.link.device import Device
from firmware.link.machine import RECORDS, Machine
from firmware.play import rows

ENDED = "program_ended"  # in the fault log; its number is one of base.crash.KINDS
BURST = 64  # bytes heard before the clock is looked at again


class PicoMachine(Machine):
    """One game on the board, frozen or in slot number `slot`; `loop` is what runs it, once that is there."""

    loop: "MainLoop | None" = None

    def __init__(self, package: str, slot: int, was_reset: bool) -> None:
        """`was_reset`: a reset from outside ended the last start while it was at work."""
        __import__(package + ".game")
        self._game: Any = sys.modules[package + ".game"]  # Any: a module that is known by name only
        self._packed = __import__("packed_charts")  # beside the game, in the image or in the slot
        self._slot = slot
        self.name = package.rpartition(".")[2]
        self.switches = len(self._game.WIRING.SWITCHES)
        self.settings = rows.names(self._game.SETTINGS)
        self.hardware = Hardware(board_tables(self._game.WIRING))
        self.bring_up = bring_up.load(self.hardware, was_reset)
        self.refusals = self_test.refusals(self.hardware)
        self.crash: Crash | None = None  # what ended the program and nobody has acknowledged yet

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """SHA-256 over the nonce, the image and the game slot in use."""
        return flash.identify(nonce, slots.contents(self._slot))

    def recognise(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """SHA-256 over the nonce and `version`: the start has checked what lies behind it."""
        sha = hashlib.sha256(nonce)
        sha.update(self.version())
        return sha.digest()

    def version(self) -> bytes:
        """What the operator's VERSIONS page shows of image and game slot; b"" when it is not known."""
        return flash.version(slots.header(self._slot))

    def console(
        self, seed: int, settings: "dict[str, int]", board: Board, store: "BoardStore | None" = None
    ) -> "Console":
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
            board.forbid(self.reasons())
        return board

    def playing(self) -> "Console | None":
        """The console of the standalone game."""
        standalone = self.loop.standalone if self.loop else None
        return standalone.console if standalone else None

    def give_way(self) -> None:
        """A host takes over: the standalone game ends."""
        if self.loop:
            self.loop.give_way_to_host()

    def contacts_refused(self) -> str:
        """The coil bus must be empty, or the keyed service switch on, as the board itself reads them."""
        hardware = self.hardware
        return outside_contacts.refused(hardware.cells[isr.BUS_MV], hardware.scan, self._game.WIRING.SWITCHES)

    def is_settled(self) -> bool:
        """Whether the scan has read the keyed service switch since the run was set up."""
        return outside_contacts.is_settled(self.hardware.scan, self._game.WIRING.SWITCHES)

    def sensed(self) -> "tuple[int, ...]":
        """Coil bus and 5 V rail in mV, and what withholds the coils (native.senses)."""
        cells = self.hardware.cells
        return cells[isr.BUS_MV], cells[isr.LOGIC_MV], self.hardware.senses[senses.WITHHELD]

    def explain(self, error: Exception) -> str:
        """With the file and line where it was raised."""
        return explained(error)

    def alive(self) -> None:
        """A long way in lock-step keeps the watchdog fed."""
        self.hardware.cells[isr.ALIVE] = 0
        if self.refusals:
            restarts.feed()

    def refuse(self, third: bool, ended: "Crash | None") -> None:
        """Add what the last starts have against coils: too many of them, or an error nobody acknowledged."""
        if third:
            self.refusals.append(restarts.REFUSAL)
        if ended:
            self.crash = ended
            self.ended = ended.sentence
            self.refusals.append((ENDED, ended.kind, ended.sentence))

    def acknowledged(self) -> None:
        """The error was read by a person."""
        crash.acknowledge()
        self.crash = None
        self.ended = ""
        self.refusals = [each for each in self.refusals if each[0] != ENDED]

    def reasons(self) -> str:
        """Why coils stay off, in a sentence."""
        return "; ".join([sentence for _name, _number, sentence in self.refusals])

    def code(self) -> int:
        """What the LED shows."""
        if self.crash or not self.refusals:
            return self.crash.kind if self.crash else 0
        return STARTS if self.refusals[0] == restarts.REFUSAL else REFUSED


class StandaloneGame:
    """The game without a host: from start-up until a host takes over."""

    def __init__(self, machine_: PicoMachine) -> None:
        self._machine = machine_
        self.board = machine_.board()
        self.board.files_digest = machine_.version()
        store = BoardStore(machine_.hardware, machine_.name)
        self.console = machine_.console(machine_.hardware.now() + 1, {}, self.board, store)
        self.console.engine.plays_on = True
        self._began = machine_.hardware.now()
        self.board.enable(True)
        for name, number, _ in machine_.refusals:
            self.console.play.faults.report(name, number)
            self.console.pad.show_notice(b"COILS STAY OFF", name.upper().replace("_", " ").encode())
        self._report_crash()

    def catch_up(self, now: int) -> None:
        """Let the console catch up with `now` (ms, period 2^30)."""
        self.console.run_to(ticks.diff(now, self._began))

    def _report_crash(self) -> None:
        pad = self.console.pad
        ended = self._machine.crash
        pad.ended = ended or crash.before()
        if not ended:
            return
        for name, detail, times in ended.faults:
            self.console.play.faults.report(name, detail, times)
        if pad.is_usable():
            pad.require_acknowledgement(ended, self._acknowledged)
        else:
            crash.acknowledge()  # without a pad the next start does: somebody had to switch it off and on

    def _acknowledged(self) -> None:
        self._machine.acknowledged()
        if not self._machine.refusals:
            self.board.reason = ""
            self.board.enable(True)


class MainLoop:
    """The main loop. `run_once` is called for ever."""

    def __init__(self, machine_: PicoMachine, line: Line) -> None:
        self.line = line
        self.hardware = machine_.hardware
        self._machine = machine_
        self._led = status_led.StatusLed()
        self._said = -1
        self._known: Console | None = None
        self._lost: LostEdges  # of the console in _known
        self.device = Device(machine_, line.write)
        machine_.loop = self
        self.standalone: StandaloneGame | None = StandaloneGame(machine_)

    def run_once(self) -> None:
        """Take edges, run the rules to now, write outputs. Raises HardwareFault."""
        hardware = self.hardware
        console = self.console()
        if console:
            hardware.edges(console)
            if console is not self._known:
                self._adopt(console)
            self._lost.update(console)
        else:
            self._known = None  # what ended is collected before the next is built: two do not fit
        if self.standalone:
            self.standalone.catch_up(hardware.now())
        hardware.slow_outputs.turn(hardware.now())  # first what people see: the rest takes a millisecond
        self.device.tick(hardware.now())
        console = self.console()
        if console:
            console.coils.drain()
            console.reflexes.renew()
            hardware.alive()
            hardware.report_faults(console)
        self._machine.alive()
        if self._machine.bring_up:
            self._machine.bring_up.turn(self.line if self._may_say() else None, console)
        restarts.record_uptime(hardware.cells[isr.UP])
        if self._machine.refusals or self._led.code:
            self._blink(hardware.now())
        fault = hardware.fault()
        if fault and not self._machine.refusals:  # a board that drives no coil goes on, and tells
            raise HardwareFault(fault)

    def console(self) -> "Console | None":
        """The one that plays by the board's clock."""
        return self.standalone.console if self.standalone else self.device.live()

    def _adopt(self, console: Console) -> None:
        """Bind what belongs to a console when it is first seen."""
        self._known = console
        self._lost = LostEdges(self.hardware.scan)
        console.trace.note_in(crash.box())

    def _blink(self, now: int) -> None:
        """Why coils stay off, by the LED; while no host is there, on the line as well."""
        self._led.code = self._machine.code()
        self._led.update(now)
        if self._led.code and self._may_say() and (self._said < 0 or ticks.diff(now, self._said) > SAY_MS):
            self._said = now
            self.line.say("coils stay off: " + self._machine.reasons())

    def _may_say(self) -> bool:
        """Whether a sentence may go over the line: between the frames of a session it would damage one."""
        return self.standalone is not None and not self.device.in_session()

    def receive(self) -> None:
        """Take bytes from the line. In lock-step the rules run from here, as few calls deep as possible.

        A host that only looks is never waited for.
        """
        if self.standalone:
            self.line.wait_ms = 0
        else:
            self.line.wait_ms = WRITE_MS if self.device.real_time else PATIENT_MS
        for _ in range(BURST):
            byte = self.line.read()
            if byte < 0:
                return
            self.device.take(byte, self.hardware.now())

    def give_way_to_host(self) -> None:
        """A host takes over: the standalone game ends."""
        if self.standalone:
            self.standalone.board.all_off("a host took over")
            self.standalone = None
            self._known = None
            self.line.wait_ms = PATIENT_MS
            gc.collect()


def main(package: str, slot: int) -> None:
    """Play the game in `package`, from `slot` (-1: the image's own), until somebody breaks in with Ctrl-C.

    After an error it starts again by a soft reset, which leaves here as SystemExit.
    """
    micropython.kbd_intr(-1)  # every byte value is data; see line.Line for Ctrl-C
    third = restarts.record_boot()
    shutdown = Shutdown(package, slot, Line(), not third)
    try:
        try:
            play(shutdown, package, slot, third)
        except KeyboardInterrupt:
            raise
        except BaseException as error:
            shutdown.end(error)
    except KeyboardInterrupt:
        shutdown.prompt()


def play(shutdown: Shutdown, package: str, slot: int, third: bool) -> None:
    """Set up and play. Raises whatever ends it."""
    if restarts.stood_still():
        crash.record_bite()
    was_reset = restarts.was_reset()
    restarts.begin_work()
    ended = crash.last()
    machine_ = PicoMachine(package, slot, was_reset)
    shutdown.hardware = machine_.hardware
    machine_.refuse(third, ended)
    loop = shutdown.loop = MainLoop(machine_, shutdown.line)
    while True:
        loop.receive()
        loop.run_once()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from firmware.base.crash import Crash
