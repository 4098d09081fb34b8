"""The host in real time that row 7 kills: starts a ball, holds a flipper, and plays until it is killed.

    python -m hil.benchmarks.reliability.live_play PORT

It simulates no ball, only its contact changes.
"""

import struct
import sys

from firmware.base.trace import COIL, FORMAT
from hil.bench.targets.linked import LinkTarget
from hil.benchmarks.reliability.bad_line import GAME
from hil.game_tables import coil_rows, switch_rows
from hil.games import Game, load

STEP_MS = 20
HIT_MS = 80  # longer than any debounce, also when it arrives late
HIT_EVERY_MS = 100
UNTIL_MS = 60_000


class Player:
    """One game on a target."""

    def __init__(self, target: LinkTarget, game: Game) -> None:
        self.now = 0
        self.pulsed: set[str] = set()
        self._target = target
        self._switches = {row.name: i for i, row in enumerate(switch_rows(game.wiring))}
        self._coils = [row.name for row in coil_rows(game.wiring)]

    def set(self, switch: str, closed: bool) -> None:
        """Change a contact now."""
        self._target.contact(self._switches[switch], closed)

    def wait(self, ms: int, coil: str = "") -> bool:
        """Let `ms` pass, or less once `coil` was pulsed in this game; returns whether it was."""
        until = self.now + ms
        while self.now < until and coil not in self.pulsed:
            self.now = self._target.advance(min(until, self.now + STEP_MS))
            for _, kind, ident, value in struct.iter_unpack(FORMAT, self._target.records()):
                if kind == COIL and value > 0:
                    self.pulsed.add(self._coils[ident])
        return coil in self.pulsed

    def hit(self, switch: str) -> None:
        """Close a switch for HIT_MS."""
        self.set(switch, True)
        self.wait(HIT_MS)
        self.set(switch, False)

    def play(self) -> None:
        """Bring a ball into play, hold a flipper and hit bumpers, until UNTIL_MS."""
        for switch in ("trough.1", "trough.2", "trough.3"):
            self.set(switch, True)
        self.wait(1500)
        self.hit("start")
        if not self.wait(5000, "trough_eject"):
            raise SystemExit("no ball was served")
        self.set("trough.3", False)
        self.wait(60)
        self.set("lane", True)
        self.wait(700)
        self.set("lane", False)
        self.wait(60)
        self.hit("meadow.1")
        self.set("button.left", True)
        while self.now < UNTIL_MS:
            self.wait(HIT_EVERY_MS)
            self.hit("meadow.2")


def main(port: str) -> None:
    """Play on the device at `port`."""
    game = load(GAME)
    target = LinkTarget(port, game, real_time=True)
    target.start(1, {})
    Player(target, game).play()


if __name__ == "__main__":
    main(sys.argv[1])
