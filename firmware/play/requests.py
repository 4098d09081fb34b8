"""Coil and cue requests: a small ring the console empties after each event."""

from firmware.base.errors import GameError
from firmware.base.trace import CUE, Trace
from firmware.charts.suggest import did_you_mean

HOLD = -1
OFF = 0
CAPACITY = 16


class CoilQueue:
    """Requests for coils, in the order in which they were made; `lost` counts those that found it full."""

    def __init__(self, names: "tuple[str, ...]", pulses: "tuple[int, ...]") -> None:
        self.names = names
        self.lost = 0
        self.count = 0
        self._pulses = pulses
        self._coil = bytearray(CAPACITY)
        self._ms = [0] * CAPACITY
        self._head = 0

    def coil(self, name: str, who: str = "") -> "CoilHandle":
        """A handle on the coil called `name`. Raises GameError with the near miss."""
        if name not in self.names:
            raise GameError(
                "coil '"
                + name
                + "' is used by "
                + who
                + " but not wired"
                + did_you_mean(name, list(self.names))
            )
        coil = self.names.index(name)
        return CoilHandle(self, coil, self._pulses[coil])

    def optional(self, name: str, who: str = "") -> "CoilHandle | NoCoil":
        """A handle on the coil called `name`; where it is not wired, one that requests nothing."""
        if name in self.names:
            return self.coil(name, who)
        from firmware.play.no_coil import NoCoil  # here: most games have every coil

        return NoCoil()

    def put(self, coil: int, ms: int) -> None:
        """Request `ms` of `coil`, HOLD or OFF."""
        if self.count == CAPACITY:
            self.lost += 1
            return
        at = (self._head + self.count) % CAPACITY
        self._coil[at] = coil
        self._ms[at] = ms
        self.count += 1

    def next_coil(self) -> int:
        """The coil of the oldest request."""
        return self._coil[self._head]

    def next_ms(self) -> int:
        """The milliseconds of the oldest request, or HOLD or OFF."""
        return self._ms[self._head]

    def drop(self) -> None:
        """Remove the oldest request."""
        self._head = (self._head + 1) % CAPACITY
        self.count -= 1


class CoilHandle:
    """One feature's handle on one coil."""

    def __init__(self, requests: CoilQueue, coil: int, ms: int) -> None:
        self.coil = coil
        self.ms = ms
        self._requests = requests

    def pulse(self) -> None:
        """Request the coil's usual pulse."""
        self._requests.put(self.coil, self.ms)

    def hold(self) -> None:
        """Request that it stays on; for coils that may be held."""
        self._requests.put(self.coil, HOLD)

    def release(self) -> None:
        """Request that it goes off."""
        self._requests.put(self.coil, OFF)


class Cues:
    """Named sound requests; a cue is one record of the trace and one call of the board.

    `in_front`: what makes of the board's way of playing a cue another one, where there are chimes.
    """

    in_front: "Callable[[Callable[[int], None]], Callable[[int], None]] | None" = None

    def __init__(self, trace: Trace) -> None:
        self.names: list[str] = []
        self.show: Callable[[int], None] | None = None
        self._trace = trace

    def attach(self, play: "Callable[[int], None]") -> None:
        """Cues are played by `play` from now on, or by what `in_front` puts before it."""
        self.show = self.in_front(play) if self.in_front else play

    def cue(self, name: str) -> "Cue":
        """A handle on the cue called `name`."""
        if name not in self.names:
            self.names.append(name)
        return Cue(self, self.names.index(name))

    def play(self, ident: int) -> None:
        """Record the cue and hand it to the board."""
        self._trace.add(CUE, ident, 1)
        if self.show:
            self.show(ident)


class Cue:
    """One feature's handle on one cue."""

    def __init__(self, cues: Cues, ident: int) -> None:
        self.ident = ident
        self._cues = cues

    def play(self) -> None:
        """Request the sound."""
        self._cues.play(self.ident)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.play.no_coil import NoCoil
