"""A console that counts instead of recording, and the board that reports its coils."""

import functools
from collections.abc import Callable, Iterator, Mapping

from firmware.board import Board
from firmware.console import Console
from hil.bench.names import Names
from hil.bench.tally import Tally
from hil.game_tables import GameModule


class QuietConsole(Console):
    """A console with a Tally, not yet begun; `run_to` also returns where the player may decide anew.

    Raises GameError when the game does not fit together.
    """

    trace_kind = Tally
    trace: Tally

    def __init__(self, game: GameModule, names: Names) -> None:
        self.set_up(game, 1)
        self.trace.follow(names)
        self.trace.stop = self._stop

    def _stop(self) -> None:
        self.trace.stops += 1
        self.coils.made += 1


class CoilBoard(Board):
    """Reports coil commands as COIL records have them: number, pulse in ms, −1 held on, 0 off."""

    def __init__(self, report: Callable[[int, int], None]) -> None:
        self._report = report

    def pulse(self, coil: int, ms: int) -> None:
        """A pulse began."""
        self._report(coil, ms)

    def hold(self, coil: int) -> None:
        """It is held on."""
        self._report(coil, -1)

    def release(self, coil: int) -> None:
        """It is off."""
        self._report(coil, 0)


class Named(Mapping[str, int]):
    """Values by name: `values` is looked at when one is asked for."""

    def __init__(self, names: Mapping[str, int], values: bytearray) -> None:
        self._names = names
        self._values = values

    def __getitem__(self, name: str) -> int:
        return self._values[self._names[name]]

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


@functools.lru_cache
def numbers(names: tuple[str, ...]) -> dict[str, int]:
    """The position of each name."""
    return {name: number for number, name in enumerate(names)}
