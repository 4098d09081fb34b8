"""The callback between models of what is around it: drive chain, guard, door, coil bus, drains, matrix.

Dividers, thresholds and time constants are those of the reference circuit
(`hil/electrical/circuit/values.py`).
"""

import importlib
from array import array
from math import exp
from typing import Any

from firmware.devices import limiter_state, scan, supply_monitor
from firmware.devices.native import limiter
from firmware.games.honey_flow import wiring
from hil.electrical.circuit import values

CHIPS = ("RP2040", "RP2350")
PIN_IN = 0xD0000004


class Registers:
    """Addresses of one chip: pico-sdk 2.2.0, addressmap.h, sio.h, pwm.h, psm.h, timer.h, watchdog.h."""

    def __init__(self, name: str) -> None:
        older = name == "RP2040"
        self.spi = 0x4003C000 if older else 0x40080000
        self.adc = 0x4004C000 if older else 0x400A0000
        self.pin_set = 0xD0000014 if older else 0xD0000018
        self.pin_flip = 0xD000001C if older else 0xD0000028
        self.held = 0x40050098 if older else 0x400A8098
        self.watchdog = 0x40058000 if older else 0x400D8000
        self.reset_choice = 0x40010008 if older else 0x40018008
        self.timer_low = 0x40054028 if older else 0x400B0028


FEED, SUPPLY_FEED, LATCH = 1 << 11, 1 << 13, 1 << 17
GUARD_STATE, INTERLOCK = 1 << 12, 1 << 10
ONE_SHOT_MS = 7
RELAY_MS = round(values.supply_seconds()[1] * 1000)
READS_HIGH_MV = round(values.drain_threshold()[1] * 1000)


class Bench:
    """The callback between a modelled drive chain, guard, supply, door, drains and switch matrix."""

    def __init__(self, chip: Any) -> None:
        self.isr = importlib.import_module("boards.pico_matrix.isr")
        self.at = at = Registers(chip.name)
        self.chain = self.outputs = 0
        self.answers: list[int] = []
        self.fed_at = self.supply_fed_at = -1000
        self.feeds = self.supply_feeds = self.watchdog = 0
        self.shut = True
        self.enable_stuck = self.chain_broken = False
        self.low = 0  # drains that are low whatever the drive does
        self.high = 0
        self.mains_mv = 48_000  # 0: the coil supply is switched off
        self.stiff = False  # the bus is up whatever the relay does
        self.bus_mv = 0.0
        self.reads_high_mv = READS_HIGH_MV
        self.channel = 0
        self.now = 0
        self.buttons = 0
        self.judged_mv = importlib.import_module("boards.pico_matrix.circuit_values").JUDGED_MV
        self.cells = array("i", [0] * self.isr.CELLS)
        self.limits = limiter_state.build(wiring)
        self.scan = scan.build(wiring.SWITCHES)
        self.senses = supply_monitor.new(self.judged_mv)
        self.groups = array("i", [0] * 10)
        self.words = array("i", [0] * 32)
        self.supply = supply_monitor.SupplyMonitor(
            self.senses, supply_monitor.watched(wiring), 33_000, supply_monitor.undeclared(wiring)
        )
        self.timer_us = 0  # of the chip's timer,
        self.turn_us = 1000  # which passes so much from one call of the callback to the next
        board = importlib.import_module("boards.pico_matrix.board")
        board.address(self.cells, self.limits, self.scan, self.senses, self.groups)
        self.cells[self.isr.AT_WORDS] = chip.place(self.words)
        self.cells[self.isr.CHANNEL] = 0x50000000
        self.cells[self.isr.CHANNEL_TWO] = 0x50000040
        chip.reads[0x50000008] = lambda: 1_000_000 - 16 * self.now
        chip.reads[at.spi + 12] = lambda: 4 if self.answers else 0
        chip.reads[at.spi + 8] = lambda: self.answers.pop(0)
        chip.reads[PIN_IN] = self.inputs
        chip.reads[at.timer_low] = lambda: self.timer_us & 0xFFFFFFFF
        chip.reads[at.adc] = lambda: 0x100
        chip.reads[at.adc + 4] = self.converted
        chip.writes[at.adc] = lambda value: setattr(self, "channel", value >> 12 & 7)
        chip.writes[at.spi + 8] = self.shift
        chip.writes[at.pin_set] = self.latch
        chip.writes[at.pin_flip] = self.toggle
        chip.writes[at.watchdog + 4] = lambda _value: setattr(self, "watchdog", self.watchdog + 1)
        self.isr.bind_state(self.cells)
        self.alive = True
        self.logic_mv = 5000

    def inputs(self) -> int:
        enabled = self.enable_stuck or (self.now - self.fed_at <= ONE_SHOT_MS and self.shut)
        return (0 if enabled else GUARD_STATE) | (0 if self.shut else INTERLOCK)

    def shift(self, byte: int) -> None:
        self.answers.append(0 if self.chain_broken else self.chain >> 16 & 0xFF)
        self.chain = (self.chain << 8 | byte) & 0xFFFFFF

    def latch(self, pins: int) -> None:
        if pins & LATCH:
            self.outputs = self.chain

    def toggle(self, pins: int) -> None:
        if pins & FEED:
            self.fed_at = self.now
            self.feeds += 1
        if pins & SUPPLY_FEED:
            self.supply_fed_at = self.now
            self.supply_feeds += 1

    def converted(self) -> int:
        """What the converter makes of the channel it was asked for; no coil current is modelled."""
        volts = (self.bus_mv / values.CONVERTER_BUS, self.logic_mv / values.CONVERTER_LOGIC, 0)
        return int(volts[self.channel] / 1000 / values.PICO * 4096)

    def settle_bus(self) -> None:
        """One millisecond of the coil bus: up at once, down by what discharges it."""
        closed = self.shut and (self.stiff or self.now - self.supply_fed_at <= RELAY_MS)
        if closed and self.bus_mv <= self.mains_mv:
            self.bus_mv = float(self.mains_mv)
        else:
            seconds = values.reservoir_seconds() if closed else values.bus_seconds()
            self.bus_mv *= exp(-0.001 / seconds)

    def scanned(self) -> None:
        """The ring as the scan's DMA leaves it: countdown and half in the top, rows, direct, drains."""
        drains = 0xFFFF & ~self.outputs & ~self.low if self.bus_mv >= self.reads_high_mv else 0
        drains |= self.high
        for i in range(32):
            column, half = i // 2 % 8, i & 1
            head = (7 - column) << 1 | half
            frame = (self.buttons >> 4 if not half else self.buttons << 16 & 0xF0000 | drains) & 0xFFFFF
            self.words[i] = head << 20 | frame

    def run(self, ms: int) -> None:
        for _ in range(ms):
            self.now += 1
            self.timer_us += self.turn_us
            self.settle_bus()
            self.scanned()
            if self.alive:
                self.cells[self.isr.ALIVE] = 0
                if self.now % 20 == 0:
                    self.sample()
            self.isr.control_isr(None)

    def sample(self) -> None:
        """The main loop looks at the supplies."""
        self.supply.sample(self.cells[self.isr.BUS_MV], self.cells[self.isr.LOGIC_MV], 0, -1)

    def enable(self) -> None:
        """As PicoBoard.enable, with the first quiet time over and the door seen shut."""
        self.run(250)
        self.cells[self.isr.SUPPLY_ON] = 1
        self.cells[self.isr.ENABLED] = 1
        self.run(50)
        assert self.fault == ""

    def disable(self) -> None:
        """As Hardware.off."""
        self.cells[self.isr.ENABLED] = 0
        self.cells[self.isr.SUPPLY_ON] = 0
        self.limiter().off_all()

    def fire(self, coil: int, ms: int) -> int:
        limiter.request(self.limits, limiter.FIRE, coil, ms)
        limiter.serve(self.limits, self.cells[self.isr.NOW])
        return self.limits[limiter.ANSWER]

    def limiter(self) -> Any:
        """What the console gets."""
        module = importlib.import_module("boards.pico_matrix.isr_limiter")
        return module.IsrCoilLimiter(self.limits, self.cells, self.senses)

    def renew(self) -> None:
        self.limiter().renew(True, 0)

    @property
    def fault(self) -> str:
        return str(self.isr.FAULTS[self.cells[self.isr.FAULT]])

    def drive(self, coil: int) -> int:
        return int(self.limits[limiter.HEAD + coil * limiter.COIL + limiter.DRIVE])
