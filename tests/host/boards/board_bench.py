"""The callback between models of what stands around it: drive chain, one-shot, door, drains, matrix."""

import importlib
from array import array
from typing import Any

from firmware.devices import cells, scan, senses
from firmware.games.honey_flow import wiring

SPI = 0x4003C000
SIO = 0xD0000000
WATCHDOG = 0x40058004
FEED, SUPPLY_FEED, LATCH = 1 << 11, 1 << 13, 1 << 17
GUARD_STATE, INTERLOCK = 1 << 12, 1 << 22
ONE_SHOT_MS = 7


class Bench:
    """The callback between a modelled drive chain, one-shot, door, drains and switch matrix."""

    def __init__(self, chip: Any) -> None:
        self.beat = importlib.import_module("boards.pico_matrix.beat")
        self.chain = self.outputs = 0
        self.answers: list[int] = []
        self.fed_at = -1000
        self.feeds = self.supply_feeds = self.watchdog = 0
        self.shut = True
        self.enable_stuck = self.chain_broken = False
        self.low = 0  # drains that are low whatever the drive does
        self.high = 0
        self.now = 0
        self.buttons = 0
        self.cells = array("i", [0] * self.beat.CELLS)
        self.core = cells.build(wiring)
        self.scan = scan.build(wiring.SWITCHES)
        self.senses = senses.new()
        self.words = array("i", [0] * 32)
        self.look = senses.Look(self.senses, senses.watched(wiring), 33_000)
        for name, thing in (
            ("AT_CORE", self.core),
            ("AT_SCAN", self.scan),
            ("AT_SENSES", self.senses),
            ("AT_GROUPS", array("i", [0] * 10)),
            ("AT_WORDS", self.words),
        ):
            self.cells[getattr(self.beat, name)] = chip.place(thing)
        self.cells[self.beat.CHANNEL] = 0x50000000
        self.cells[self.beat.CHANNEL_TWO] = 0x50000040
        chip.reads[0x50000008] = lambda: 1_000_000 - 16 * self.now
        chip.reads[SPI + 12] = lambda: 4 if self.answers else 0
        chip.reads[SPI + 8] = lambda: self.answers.pop(0)
        chip.reads[SIO + 4] = self.inputs
        chip.writes[SPI + 8] = self.shift
        chip.writes[SIO + 20] = self.latch
        chip.writes[SIO + 28] = self.toggle
        chip.writes[WATCHDOG] = lambda _value: setattr(self, "watchdog", self.watchdog + 1)
        self.beat.board = self.cells
        self.alive = True

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
            self.supply_feeds += 1

    def scanned(self) -> None:
        """The ring as the scan's DMA leaves it: countdown and half in the top, rows, direct, drains."""
        drains = (0xFFFF & ~self.outputs & ~self.low) | self.high
        for i in range(32):
            column, half = i // 2 % 8, i & 1
            head = (7 - column) << 1 | half
            frame = (self.buttons >> 4 if not half else self.buttons << 16 & 0xF0000 | drains) & 0xFFFFF
            self.words[i] = head << 20 | frame

    def run(self, ms: int) -> None:
        for _ in range(ms):
            self.now += 1
            self.scanned()
            if self.alive:
                self.cells[self.beat.ALIVE] = 0
                if self.now % 20 == 0:
                    self.look.see(48_000 if self.shut else 0, 5000, 0, -1)
            self.beat.callback(None)

    def enable(self) -> None:
        """As PicoBoard.enable, with the first quiet time over and the door seen shut."""
        self.run(250)
        self.cells[self.beat.SUPPLY_ON] = 1
        self.cells[self.beat.ENABLED] = 1
        self.run(50)
        assert self.fault == ""

    def fire(self, coil: int, ms: int) -> int:
        reflex = importlib.import_module("boards.pico_matrix.reflex")
        why = reflex.fire(self.cells[self.beat.AT_CORE], coil, ms, self.cells[self.beat.NOW])
        assert isinstance(why, int)
        return why

    def renew(self) -> None:
        live = importlib.import_module("boards.pico_matrix.live")
        live.LiveCore(self.core, self.cells, self.senses).renew(True, 0)

    @property
    def fault(self) -> str:
        return str(self.beat.FAULTS[self.cells[self.beat.FAULT]])

    def drive(self, coil: int) -> int:
        return int(self.core[cells.HEAD + coil * cells.COIL + cells.DRIVE])
