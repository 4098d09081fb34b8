"""Balls by the contacts alone: where each is, what a coil does to it, what a hit closes. No speeds, no paths.

Enough of a machine for trials that need a game to go on under both Pythons; the simulator's plant,
which knows routes and times, runs on the host.
"""

from firmware.board import Board
from firmware.play import rows

ROLL = 150  # ms from the trough's exit to the shooter lane
EJECT = "_eject"


class PulseRecorder(Board):
    """Records which coils were pulsed. Allocates nothing, so it works with a locked heap."""

    def __init__(self, coils: int) -> None:
        self.pulsed = bytearray(coils)
        self.any = False

    def pulse(self, coil: int, ms: int) -> None:
        """Mark the coil."""
        self.pulsed[coil] = 1
        self.any = True


class Balls:
    """Every ball of a machine: at home, on its way to the lane, in the lane, in a hole, or free.

    `changes`: contacts to come as (ms, switch, closed), in no order.
    """

    def __init__(self, wiring: "BallWiring", outputs: PulseRecorder) -> None:
        names = rows.names(wiring.SWITCHES)
        coils = rows.names(wiring.COILS)
        self.changes: list[tuple[int, int, int]] = []
        self.free = 0
        self.in_lane = 0
        self._outputs = outputs
        self._trough = [names.index(name) for name in wiring.TROUGH]
        self._lane = names.index("lane")
        self._eject = coils.index("trough_eject")
        self._plunger = coils.index("auto_plunger")
        self._holes = _holes(names, coils)
        self._held = [0] * len(self._holes)
        self.home = wiring.BALLS
        for switch in self._trough[: self.home]:
            self.changes.append((0, switch, 1))

    def answer(self, now: int) -> None:
        """Let the coils that were pulsed move balls."""
        outputs = self._outputs
        outputs.any = False
        pulsed = outputs.pulsed
        if pulsed[self._eject] and self.home:
            self.home -= 1
            self.changes.append((now + 1, self._trough[self.home], 0))
            self.changes.append((now + ROLL, self._lane, 1))
            self.in_lane += 1
        if pulsed[self._plunger]:
            self.plunge(now)
        for i in range(len(self._holes)):
            coil, switches = self._holes[i]
            if pulsed[coil] and self._held[i]:
                self._held[i] -= 1
                self.changes.append((now + 1, switches[self._held[i]], 0))
                self.free += 1
        for coil in range(len(pulsed)):
            pulsed[coil] = 0

    def plunge(self, now: int) -> None:
        """The ball that waits in the lane goes into play."""
        if self.in_lane:
            self.changes.append((now + ROLL + 1, self._lane, 0))
            self.free += self.in_lane
            self.in_lane = 0

    def drain(self, now: int) -> None:
        """A free ball comes home."""
        if self.free:
            self.free -= 1
            self.changes.append((now + 1, self._trough[self.home], 1))
            self.home += 1

    def fall_in(self, now: int, which: int) -> None:
        """A free ball falls into a hole, if there is one with room."""
        if self.free and self._holes:
            at = which % len(self._holes)
            _coil, switches = self._holes[at]
            if self._held[at] < len(switches):
                self.free -= 1
                self.changes.append((now + 1, switches[self._held[at]], 1))
                self._held[at] += 1


def _holes(names: "tuple[str, ...]", coils: "tuple[str, ...]") -> "list[tuple[int, list[int]]]":
    """(coil, switches) of each `X_eject` beside the trough, by switches `X` or `X.1`, `X.2` …"""
    found = []
    for coil in range(len(coils)):
        if coils[coil].endswith(EJECT) and coils[coil] != "trough_eject":
            hole = coils[coil][: -len(EJECT)]
            mine = [i for i in range(len(names)) if names[i] == hole or names[i].startswith(hole + ".")]
            found.append((coil, mine))
    return found


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.wiring import BallWiring
