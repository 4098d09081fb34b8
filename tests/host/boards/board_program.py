"""The board's whole program between the models of what is around it: main loop, console, link, callback.

Time passes by the millisecond, and only while the host waits for the line: a script of an hour takes what
its milliseconds take.
"""

import importlib
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from board_bench import FEED, Bench

from firmware.devices import limiter_state
from firmware.devices.fault_reporter import FaultReporter
from firmware.play import rows
from hil.bench.outcome import Outcome
from hil.bench.scripts import script, vocabulary
from hil.bench.session import Session
from hil.bench.targets.linked import LinkTarget, identity
from hil.games import Game

READ_MS = 20


class Wire:
    """The line between board and host, both ends: the board's Line, the host's Port."""

    def __init__(self, board: "Program") -> None:
        self.board = board
        self.said: list[str] = []
        self._to_board: list[int] = []
        self._to_host = bytearray()

    def read_byte(self) -> int:
        return self._to_board.pop(0) if self._to_board else -1

    def put(self, data: bytearray, end: int) -> None:
        self._to_host += data[:end]

    def say(self, words: str) -> None:
        self.said.append(words)
        self._to_host += words.encode() + b"\r\n\0"

    @property
    def in_waiting(self) -> int:
        return len(self._to_host)

    def read(self, size: int) -> bytes:
        for _ in range(READ_MS):
            if self._to_host:
                break
            self.board.turn()
        found = bytes(self._to_host[:size])
        del self._to_host[:size]
        return found

    def write(self, data: bytes) -> int:
        self._to_board += data
        return len(data)

    def close(self) -> None:
        """Nothing to give back."""


class Program(Bench):
    """A board that was switched on, or reset from outside. `file`: of its bring-up."""

    def __init__(
        self,
        chip: Any,
        game: Game,
        file: Path,
        volts: float = 12.0,
        was_reset: bool = False,
        volts_low: int = 33_600,
    ) -> None:
        super().__init__(chip)
        self.game = game
        self.mains_mv = round(volts * 1000)
        self.feed_wire = True
        self.rows = bytearray(8)
        self.direct = 0
        self.connected = 0  # drives with a coil; a drain without one stays low
        self.hands: list[tuple[int, str, int]] = []  # what a person does to switches: ms, name, closed
        self.supply._volts_low_mv = volts_low
        self.wire = Wire(self)
        self.end = ""
        self._rest()
        main = importlib.import_module("boards.pico_matrix.main")
        main.BoardStore = lambda _hardware, _name: None
        bring_up = importlib.import_module("boards.pico_matrix.bring_up")
        self.hardware = self._hardware()
        self.machine = object.__new__(main.PicoMachine)
        self.machine._game = game.module
        self.machine._packed = None
        self.machine.name = game.name
        self.machine.switches = len(game.wiring.SWITCHES)
        self.machine.settings = rows.names(game.module.SETTINGS)
        self.machine.hardware = self.hardware
        self.machine.crash = None
        self.machine.refusals = []
        self.machine.identify = lambda nonce: identity(bytes(nonce), game)
        self.machine.version = lambda: b""
        self.machine.bring_up = bring_up.load(self.hardware, was_reset, str(file))
        line = SimpleNamespace(read=self.wire.read_byte, write=self.wire.put, say=self.wire.say, wait_ms=0)
        self.loop = main.MainLoop(self.machine, line)
        self._fault = main.HardwareFault

    def _hardware(self) -> Any:
        board = importlib.import_module("boards.pico_matrix.board")
        hardware = object.__new__(board.Hardware)
        hardware.cells, hardware.senses, hardware.supply = self.cells, self.senses, self.supply
        hardware.template, hardware.scan = limiter_state.build(self.game.wiring), self.scan
        hardware.limiter = self.limiter()
        hardware._reporter = FaultReporter(self.supply, self.limits)
        hardware._sampled = hardware._unsupplied_at = hardware.kept_off = 0
        outputs = ("turn", "lamp", "text", "cue", "dark")
        hardware.slow_outputs = SimpleNamespace(**dict.fromkeys(outputs, lambda *_given: None))
        hardware.closed = False
        self.cells[self.isr.QUIET] = board.QUIET_MS
        return hardware

    # Around the board --------------------------------------------------------------------------

    def toggle(self, pins: int) -> None:
        if self.feed_wire or not pins & FEED:
            super().toggle(pins)

    def _rest(self) -> None:
        """Every switch as it is when nobody touches it: an inverted one is closed then."""
        for row in self.game.wiring.SWITCHES:
            self.move(row[0], 0)

    def move(self, name: str, closed: int) -> None:
        """A person's hand at a switch."""
        row, place = next(each[3:5] for each in self.game.wiring.SWITCHES if each[0] == name)
        level = closed ^ (name in getattr(self.game.wiring, "INVERTED", ()))
        if row:
            bit = 1 << (row - 1)
            self.rows[place - 1] = self.rows[place - 1] & ~bit | (bit if level else 0)
        else:
            bit = 1 << (place - 1)
            self.direct = self.direct & ~bit | (bit if level else 0)

    def scanned(self) -> None:
        on = self.outputs if self.inputs() & 1 << 12 == 0 else 0
        drains = 0xFFFF & self.connected & ~on & ~self.low if self.bus_mv >= self.reads_high_mv else 0
        for i in range(32):
            column, half = i // 2 % 8, i & 1
            head = (7 - column) << 1 | half
            first = self.rows[column] << 12 | self.direct >> 4
            self.words[i] = head << 20 | (self.direct << 16 & 0xF0000 | drains if half else first)

    def turn(self) -> None:
        """One millisecond: the callback, then a turn of the main loop. An error ends the program."""
        self.now += 1
        self.timer_us += self.turn_us
        while self.hands and self.hands[0][0] <= self.now:
            _, name, closed = self.hands.pop(0)
            self.move(name, closed)
        self.settle_bus()
        self.scanned()
        self.isr.control_isr(None)
        if self.end:
            return
        try:
            self.loop.receive()
            self.loop.run_once()
        except self._fault as error:
            self.end = str(error)
            self.loop.device.end(self.end)
            self.hardware.off()

    def wait(self, ms: int) -> None:
        for _ in range(ms):
            self.turn()

    # From outside ------------------------------------------------------------------------------

    def play(self, text: str) -> Outcome:
        """Replay a bench script in real time over the line."""
        words = vocabulary.of_game(self.game)
        played = script.parse(text, Path("step.play"), words)
        target = LinkTarget.over(self.wire, self.game, True, clock=lambda: self.now / 1000)
        return Session(played, target, words, self.game.wiring, None, True).run()
