"""The driver board's hardware: one scan, one lamp strobe, one drive chain, one callback.

Importing this switches everything off. `Hardware` is made once; each run gets a `PicoBoard` on it.
"""

from array import array

import machine
import micropython
import uctypes

from boards.pico_matrix import beat, native, pins
from boards.pico_matrix.live import LiveCore
from boards.pico_matrix.off import safe
from boards.pico_matrix.shows import Shows
from firmware.board import Board
from firmware.devices import scan, senses
from firmware.devices.telling import Telling

safe()

SCAN_RING = 128  # bytes: two scans
LAMP_RING = 32  # bytes: eight columns
QUIET_MS = 2000  # after a reset every coil counts as half hot, and none fires for so long


class Hardware:
    """Everything that exists once. `tables` is what `tables.tables` makes of a wiring table."""

    def __init__(self, tables: "Any") -> None:
        micropython.alloc_emergency_exception_buf(100)
        self.cells = array("i", [0] * beat.CELLS)
        self.template, self.scan, places, volts_low_mv, watched, colours = tables
        self.senses = senses.new()
        self.look = senses.Look(self.senses, watched, volts_low_mv)
        self.core = LiveCore(array("i", self.template), self.cells, self.senses)
        self._telling = Telling(self.look, self.core.cells)
        self.shows = Shows(places)
        self.closed = False
        self._lamp_dma: tuple[Any, ...] = ()
        self._strobe: Any = None
        self._groups = array("i", [0] * 10)
        b = self.cells
        b[beat.QUIET] = QUIET_MS
        b[beat.AT_CORE] = uctypes.addressof(self.core.cells)
        b[beat.AT_SCAN] = uctypes.addressof(self.scan)
        b[beat.AT_SENSES] = uctypes.addressof(self.senses)
        b[beat.AT_GROUPS] = uctypes.addressof(self._groups)
        # Undriven, both read as on the safe side: not enabled, door open.
        for pin in (pins.GUARD_STATE, pins.INTERLOCK):
            machine.Pin(pin, machine.Pin.IN, machine.Pin.PULL_UP)
        self._set_up(colours)
        beat.work_on(b)
        self._timer = machine.Timer(-1)
        self._timer.init(period=1, mode=machine.Timer.PERIODIC, callback=beat.callback, hard=True)

    def _set_up(self, colours: bytes) -> None:
        """The peripherals."""
        from boards.pico_matrix.circuits import drive_chain, held_pair, ring, scanner, strobe

        b = self.cells
        self.spi = drive_chain()
        b[beat.HOLD_LEVEL] = held_pair()
        self._words, at_words = ring(SCAN_RING)
        b[beat.AT_WORDS] = at_words
        self._scanner, self._scan_dma = scanner(at_words)
        b[beat.CHANNEL] = 0x50000000 + 0x40 * self._scan_dma[0].channel
        b[beat.CHANNEL_TWO] = 0x50000000 + 0x40 * self._scan_dma[1].channel
        if colours:
            native.load("boards.pico_matrix.chain")
            from boards.pico_matrix.chain import Chain

            self.shows.chain = Chain(colours)
            self.shows.dark()
        else:
            self._frame, self.shows.at_frame = ring(LAMP_RING)
            self.shows.dark()
            self._strobe, self._lamp_dma = strobe(self.shows.at_frame)

    # Runs ------------------------------------------------------------------------------------

    def now(self) -> int:
        """The board's clock: ticks of period 2^30."""
        return self.cells[beat.NOW]

    def fresh(self) -> None:
        """Cells as after power-up, for the next run; what is closed is told to its rules anew."""
        self.cells[beat.ENABLED] = 0
        state = machine.disable_irq()
        core = self.core.cells
        for i in range(len(core)):
            core[i] = self.template[i]
        for i in range(scan.SWITCH):
            self.scan[i] = 0
        machine.enable_irq(state)
        self.core.begin(self.now())

    def fault(self) -> str:
        """What the callback found wrong, "" when nothing is."""
        number = self.cells[beat.FAULT]
        if number == beat.STUCK_ON:
            return beat.FAULTS[number] + ": " + drives(self.senses[senses.LOCKED])
        return beat.FAULTS[number]

    def alive(self) -> None:
        """The rules are: called once a turn of the main loop."""
        self.cells[beat.ALIVE] = 0
        if self.shows.looked(self.now()):
            self._look()

    def _look(self) -> None:
        """Volts and amperes; a drive may go on or off while the converter is at work."""
        shows = self.shows
        before = senses.predicted(self.core.cells, self.cells[beat.SENT])
        drawn = shows.coil_ma()
        after = senses.predicted(self.core.cells, self.cells[beat.SENT])
        predicted = max(before, after) if before >= 0 and after >= 0 else -1
        if self.look.see(shows.coil_mv(), shows.logic_mv(), drawn, predicted):
            self.cells[beat.FAULT] = self.cells[beat.FAULT] or beat.OVERDRAWN
        self.core.volts_low = self.look.volts_low

    def tell(self, console: "Console") -> None:
        """What was sensed, to the operator; not before the board had time to look around."""
        if self.cells[beat.UP] > QUIET_MS and self._telling.tell(console.play.faults):
            console.pad.tell(b"COILS ARE OFF", b"SEE THE PAD")

    def edges(self, console: "Console") -> None:
        """Hand over the edges that wait, the rest after the next step."""
        s = self.scan
        while s[scan.RING_HELD]:
            edge = s[scan.AT_RING + s[scan.RING_FIRST]]
            if not console.settled(edge >> 1, edge & 1):
                return
            state = machine.disable_irq()
            s[scan.RING_FIRST] = (s[scan.RING_FIRST] + 1) % scan.RING
            s[scan.RING_HELD] -= 1
            machine.enable_irq(state)

    def off(self) -> None:
        """Coils, held pair, lamps and supply off; cannot fail."""
        self.cells[beat.ENABLED] = 0
        self.cells[beat.SUPPLY_ON] = 0
        self.core.off_all()
        self.shows.dark()

    def close(self) -> None:
        """For good: the callback stops, and with it the feed."""
        self.off()
        self.closed = True
        self._timer.deinit()
        self._scanner.active(0)  # before what empties it: a word left in it would be the next start's first
        for each in self._scan_dma + self._lamp_dma:
            each.active(0)
        if self.shows.chain:
            self.shows.chain.close()
        else:
            self._strobe.active(0)
        beat.silence()
        safe()


class PicoBoard(Board):
    """Outputs of one run. After `all_off` it drives nothing any more."""

    def __init__(self, hardware: Hardware) -> None:
        self.reason = ""
        self._over = False
        self._hardware = hardware
        self.core = hardware.core
        hardware.fresh()

    def enable(self, on: bool) -> None:
        """Coil enable; refused once everything was switched off, or while a fault stands."""
        if on and not self.reason and not self._hardware.fault():
            self._hardware.alive()
            self._hardware.cells[beat.SUPPLY_ON] = 1
            self._hardware.cells[beat.ENABLED] = 1
        elif not on:
            self._hardware.off()

    def forbid(self, reason: str) -> None:
        """No coil in this run, for this reason; lamps, displays and cues go on."""
        self.reason = reason
        self._hardware.off()

    def lamp(self, lamp: int, pattern: int) -> None:
        """Show `pattern`."""
        if not self._over:
            self._hardware.shows.lamp(lamp, pattern)

    def text(self, chunk: int, cells: int) -> None:
        """Three cells, for the next turn of the main loop."""
        if not self._over:
            self._hardware.shows.text(chunk, cells)

    def cue(self, cue: int) -> None:
        """One byte to the sound box."""
        if not self._over:
            self._hardware.shows.cue(cue)

    def all_off(self, reason: str) -> None:
        """Everything off; cannot fail; the first reason is kept."""
        self.reason = self.reason or reason
        if not self._over:
            self._over = True
            self._hardware.off()


def drives(mask: int) -> str:
    """Their numbers in words."""
    return ", ".join([str(i + 1) for i in range(16) if mask >> i & 1])


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from firmware.console import Console
