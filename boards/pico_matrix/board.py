"""The driver board's hardware: one scan, one lamp strobe, one drive chain, one callback.

Importing this switches everything off. `Hardware` is made once; each run gets a `PicoBoard` on it.
"""

from array import array

import machine
import micropython
import uctypes

from boards.pico_matrix import circuit_values, isr, pins
from boards.pico_matrix.isr_limiter import IsrCoilLimiter
from boards.pico_matrix.safe_levels import set_safe_levels
from boards.pico_matrix.slow_outputs import SlowOutputs
from firmware.base import ticks
from firmware.board import Board
from firmware.devices import supply_monitor
from firmware.devices.fault_reporter import FaultReporter
from firmware.devices.native import limiter, scanner, senses

set_safe_levels()

SCAN_RING = 128  # bytes: two scans
LAMP_RING = 32  # bytes: eight columns
CELL = 4  # bytes
SAMPLE_MS = 20  # between two samples of volts and amperes
SETTLED_MS = 2000  # after which low coil volts are not the pre-charge any more
QUIET_MS = 2000  # after a reset every coil counts as half hot, and none fires for so long


def slow_outputs(places: bytes, digits: bytes) -> SlowOutputs:
    """Lamps, cues and displays: two lines of text, or a display for each of `digits`."""
    if not digits:
        return SlowOutputs(places)
    from boards.pico_matrix.number_outputs import NumberOutputs  # here: most games have no use for it

    return NumberOutputs(places, digits)


class Hardware:
    """Everything that exists once. `tables` is what `board_tables` makes of a wiring table."""

    def __init__(self, tables: "BoardTables") -> None:
        micropython.alloc_emergency_exception_buf(100)
        self.cells = array("i", [0] * isr.CELLS)
        self.template, self.scan, places, volts_low_mv, watched, undeclared, colours, digits = tables
        self.senses = supply_monitor.new(circuit_values.JUDGED_MV)
        self.supply = supply_monitor.SupplyMonitor(self.senses, watched, volts_low_mv, undeclared)
        self.limiter = IsrCoilLimiter(array("i", self.template), self.cells, self.senses)
        self._reporter = FaultReporter(self.supply, self.limiter.state)
        self._sampled = 0
        self.kept_off = 0  # coils that were asked for and are kept off, coil 0 in bit 0
        self._unsupplied_at = 0
        self.slow_outputs = slow_outputs(places, digits)
        self.closed = False
        self._lamp_dma: tuple[DmaChannel, ...] = ()
        self._strobe: rp2.StateMachine | None = None
        self._groups = array("i", [0] * 10)
        self.limiter.begin(0)
        b = self.cells
        b[isr.QUIET] = QUIET_MS
        address(b, self.limiter.state, self.scan, self.senses, self._groups)
        # Undriven, both read as on the safe side: not enabled, door open.
        for pin in (pins.GUARD_STATE, pins.INTERLOCK):
            machine.Pin(pin, machine.Pin.IN, machine.Pin.PULL_UP)
        self._set_up(colours)
        isr.bind_state(b)
        self._timer = machine.Timer(-1)
        self._timer.init(period=1, mode=machine.Timer.PERIODIC, callback=isr.control_isr, hard=True)

    def _set_up(self, colours: bytes) -> None:
        """The peripherals."""
        from boards.pico_matrix.circuits import converter, drive_chain, held_pair, ring, strobe
        from boards.pico_matrix.circuits import scanner as scan_circuit

        b = self.cells
        converter()
        self.spi = drive_chain()
        b[isr.HOLD_LEVEL] = held_pair()
        self._words, at_words = ring(SCAN_RING)
        b[isr.AT_WORDS] = at_words
        self._scanner, self._scan_dma = scan_circuit(at_words)
        one, two = self._scan_dma
        b[isr.CHANNEL] = 0x50000000 + 0x40 * one.channel
        b[isr.CHANNEL_TWO] = 0x50000000 + 0x40 * two.channel
        if colours:
            from boards.pico_matrix.chain import Chain

            self.slow_outputs.chain = Chain(colours)
            self.slow_outputs.dark()
        else:
            self._frame, self.slow_outputs.at_frame = ring(LAMP_RING)
            self.slow_outputs.dark()
            self._strobe, self._lamp_dma = strobe(self.slow_outputs.at_frame)

    # Runs ------------------------------------------------------------------------------------

    def now(self) -> int:
        """The board's clock: ticks of period 2^30."""
        now: int = self.cells[isr.NOW]
        return now

    def fresh(self) -> None:
        """Cells as after power-up, for the next run; its rules are notified of closed switches again.

        Heat and rest stay: a coil is as warm as the last run left it.
        """
        self.cells[isr.ENABLED] = 0
        self.limiter.off_all()
        self.limiter.restart(self.template)
        before = machine.disable_irq()
        for i in range(scanner.SWITCH):
            self.scan[i] = 0
        machine.enable_irq(before)

    def fault(self) -> str:
        """What the callback found wrong, "" when nothing is."""
        number = self.cells[isr.FAULT]
        if number == isr.STUCK_ON:
            return isr.FAULTS[number] + ": " + drives(self.senses[senses.LOCKED])
        return isr.FAULTS[number]

    def alive(self) -> None:
        """The rules are: called once a turn of the main loop."""
        self.cells[isr.ALIVE] = 0
        if (self.now() - self._sampled) & ticks.MASK >= SAMPLE_MS:
            self._sampled = self.now()
            self._sample()

    def _sample(self) -> None:
        """Volts and amperes, as the callback found them last."""
        b = self.cells
        if not b[isr.SUPPLY_ON]:
            self._unsupplied_at = b[isr.UP]
        before = machine.disable_irq()
        drawn = b[isr.DRAWN_MA]
        by = b[isr.DRAWN_BY]
        machine.enable_irq(before)
        predicted = supply_monitor.predicted(self.limiter.state, by)
        found = self.supply.sample(b[isr.BUS_MV], b[isr.LOGIC_MV], drawn, predicted)
        if found:
            b[isr.FAULT] = b[isr.FAULT] or isr.SENSED + found
        self.limiter.volts_low = self.supply.volts_low

    def report_faults(self, console: "Console") -> None:
        """What was sensed, to the operator; not before the board had time to look around."""
        b = self.cells
        supplied = b[isr.UP] - self._unsupplied_at > SETTLED_MS
        if b[isr.UP] > QUIET_MS and self._reporter.report(console.play.faults, supplied):
            console.pad.show_notice(b"COILS ARE OFF", b"SEE THE PAD")

    def edges(self, console: "Console") -> None:
        """Hand over the edges that wait, the rest after the next step."""
        s = self.scan
        while s[scanner.RING_HELD]:
            edge = s[scanner.AT_RING + s[scanner.RING_FIRST]]
            if not console.settled(edge >> 1, edge & 1):
                return
            state = machine.disable_irq()
            s[scanner.RING_FIRST] = (s[scanner.RING_FIRST] + 1) % scanner.RING
            s[scanner.RING_HELD] -= 1
            machine.enable_irq(state)

    def off(self) -> None:
        """Coils, held pair, lamps and supply off; cannot fail."""
        self.cells[isr.ENABLED] = 0
        self.cells[isr.SUPPLY_ON] = 0
        self.limiter.off_all()
        self.slow_outputs.dark()

    def close(self) -> None:
        """For good: the callback stops, and with it the feed."""
        self.off()
        self.closed = True
        self._timer.deinit()
        self._scanner.active(0)  # before what empties it: a word left in it would be the next start's first
        for each in self._scan_dma + self._lamp_dma:
            each.active(0)
        if self.slow_outputs.chain:
            self.slow_outputs.chain.close()
        elif self._strobe:
            self._strobe.active(0)
        isr.silence(isr.registers)
        set_safe_levels()


class PicoBoard(Board):
    """Outputs of one run. After `all_off` it drives nothing any more."""

    def __init__(self, hardware: Hardware) -> None:
        self.reason = ""
        self._over = False
        self._hardware = hardware
        self.limiter = hardware.limiter
        hardware.fresh()

    def enable(self, on: bool) -> None:
        """Coil enable; refused once everything was switched off, or while a fault is active."""
        if on and not self.reason and not self._hardware.fault():
            self._hardware.alive()
            self._hardware.cells[isr.SUPPLY_ON] = 1
            self._hardware.cells[isr.ENABLED] = 1
        elif not on:
            self._hardware.off()

    def forbid(self, reason: str) -> None:
        """No coil in this run, for this reason; lamps, displays and cues go on."""
        self.reason = reason
        self._hardware.off()

    def refused(self, coil: int, reason: int) -> None:
        """Note a coil that is kept off."""
        if reason == limiter.KEPT_OFF:
            self._hardware.kept_off |= 1 << coil

    def lamp(self, lamp: int, pattern: int) -> None:
        """Show `pattern`."""
        if not self._over:
            self._hardware.slow_outputs.lamp(lamp, pattern)

    def text(self, chunk: int, cells: int) -> None:
        """Three cells, for the next turn of the main loop."""
        if not self._over:
            self._hardware.slow_outputs.text(chunk, cells)

    def cue(self, cue: int) -> None:
        """One byte to the sound box."""
        if not self._over:
            self._hardware.slow_outputs.cue(cue)

    def all_off(self, reason: str) -> None:
        """Everything off; cannot fail; the first reason is kept."""
        self.reason = self.reason or reason
        if not self._over:
            self._over = True
            self._hardware.off()


def address(
    b: "array[int]",
    limits: "array[int]",
    contacts: "array[int]",
    sensed: "array[int]",
    groups: "array[int]",
) -> None:
    """Give the callback the addresses of what it works on; none of the arrays may ever move or go."""
    b[isr.COIL_FULL_MV] = circuit_values.COIL_FULL_MV
    b[isr.LOGIC_FULL_MV] = circuit_values.LOGIC_FULL_MV
    b[isr.FULL_MA] = circuit_values.FULL_MA
    b[isr.NO_FEED] = senses.DOOR | senses.LOGIC
    b[isr.AT_LIMITER] = uctypes.addressof(limits)
    b[isr.AT_LEASE_END] = uctypes.addressof(limits) + CELL * limiter.LEASE_END
    b[isr.AT_SCAN] = uctypes.addressof(contacts)
    b[isr.AT_CHANGES] = uctypes.addressof(contacts) + CELL * scanner.AT_CHANGES
    b[isr.AT_SENSES] = uctypes.addressof(sensed)
    b[isr.AT_WITHHELD] = uctypes.addressof(sensed) + CELL * senses.WITHHELD
    b[isr.AT_BLOCKED] = uctypes.addressof(sensed) + CELL * senses.BLOCKED
    b[isr.AT_GROUPS] = uctypes.addressof(groups)
    b[isr.AT_REGISTERS] = uctypes.addressof(isr.registers)


def drives(mask: int) -> str:
    """Their numbers in words."""
    return ", ".join([str(i + 1) for i in range(16) if mask >> i & 1])


TYPE_CHECKING = False
if TYPE_CHECKING:
    import rp2

    from boards.pico_matrix.board_tables import BoardTables
    from boards.pico_matrix.interfaces import DmaChannel
    from firmware.console import Console
