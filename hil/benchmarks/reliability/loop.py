"""A device in this process, behind a port with a virtual clock: many sessions without waiting."""

from functools import cached_property

from firmware.base import ticks
from firmware.board import Board
from firmware.console import Console
from firmware.link.device import Device
from firmware.link.machine import Machine
from hil.bench.targets.damage import Damage, none
from hil.bench.targets.linked import identity
from hil.game_tables import setting_rows
from hil.games import Game

STILL_MS = 50  # how long a read waits when nothing comes


class CachedGame(Game):
    """A game whose files are read once, not in each of many sessions."""

    @cached_property
    def _files(self) -> list[tuple[str, bytes]]:
        return super().identity_files()

    def identity_files(self) -> list[tuple[str, bytes]]:
        """As of Game, read at the first call only."""
        return self._files


def with_cached_files(game: Game) -> CachedGame:
    """`game` with its files read once."""
    return CachedGame(game.name, game.folder, game.package, game.module)


class LoopMachine(Machine):
    """A machine with one game, on `outputs` or on a board that drives nothing."""

    def __init__(self, game: Game, outputs: Board | None = None) -> None:
        self.game = game
        self.name = game.name
        self.switches = len(game.wiring.SWITCHES)
        self.settings = tuple(row.name for row in setting_rows(game.module))
        self._outputs = outputs or Board()

    def identify(self, nonce: bytes | bytearray | memoryview) -> bytes:
        """What a device with these files answers to `nonce`."""
        return identity(bytes(nonce), self.game)

    def console(self, seed: int, settings: dict[str, int], board: Board) -> Console:
        """A fresh console on `board`."""
        return self.game.console(seed, settings, board)

    def board(self) -> Board:
        """The outputs that the machine was made with."""
        return self._outputs


class LoopPort:
    """A Port to a device in this process. Its time advances only while a read waits."""

    def __init__(self, machine: Machine, to_device: Damage = none, to_host: Damage = none) -> None:
        self.now_ms = 0
        self.device = Device(machine, self._hear)
        self.open = True
        self._to_device = to_device
        self._to_host = to_host
        self._waiting = bytearray()

    def clock(self) -> float:
        """The port's time in s."""
        return self.now_ms / 1000

    @property
    def in_waiting(self) -> int:
        """How many bytes `read` would give at once."""
        self._check()
        return len(self._waiting)

    def write(self, data: bytes) -> None:
        """Pass the bytes to the device, after damage. Raises OSError when closed."""
        self._check()
        for byte in self._to_device(data):
            self.device.take(byte, self.now_ms & ticks.MASK)

    def read(self, n: int) -> bytes:
        """Up to `n` bytes, or none after STILL_MS of virtual time. Raises OSError when closed."""
        self._check()
        if not self._waiting:
            self._pass()
        data = bytes(self._waiting[:n])
        del self._waiting[:n]
        return data

    def close(self) -> None:
        """Pull the cable."""
        self.open = False

    def _check(self) -> None:
        if not self.open:
            raise OSError("the cable is pulled")

    def _pass(self) -> None:
        for _ in range(STILL_MS):
            self.now_ms += 1
            self.device.tick(self.now_ms & ticks.MASK)
            if self._waiting:
                return

    def _hear(self, data: bytearray, end: int) -> None:
        self._waiting += self._to_host(bytes(data[:end]))
