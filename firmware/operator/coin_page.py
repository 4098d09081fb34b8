"""Coins: the chutes live, the meter's pulse, the lockout."""

from firmware.operator.driving import NONE, Driving, usual
from firmware.play.requests import HOLD

JAM = 10  # ticks: a coin passes a chute's switch in far less

METER, LOCKOUT, CHUTES = range(3)


class Coins(Driving):
    """Less and more choose meter, lockout or chutes; open moves the coil."""

    def __init__(self, walk: "Any") -> None:
        super().__init__(walk)
        self._meter = self.coil("coin_meter")
        self._lockout = self.coil("coin_lockout")
        self._chutes = [
            i
            for i in range(len(self.walk.names.of_switches))
            if self.walk.names.of_switches[i].startswith("coin.")
        ]
        self._held = False
        self._coins = [0 for _ in self._chutes]
        self._closed = [0 for _ in self._chutes]
        self._jam = ""

    def count(self) -> int:
        return 2 + len(self._chutes)

    def show(self, at: int) -> None:
        if at == METER:
            self.say(0, "COIN METER")
            self.say(1, "OPEN FOR A PULSE" if self._meter != NONE else "NOT WIRED")
        elif at == LOCKOUT:
            self.say(0, "COIN LOCKOUT")
            self.say(1, ("ON" if self._held else "OFF") if self._lockout != NONE else "NOT WIRED")
        else:
            i = at - CHUTES
            self.say(0, self.walk.names.of_switches[self._chutes[i]])
            jammed = self._closed[i] >= JAM
            self.say(1, "COIN IS JAMMED" if jammed else f"{self._coins[i]} COINS")

    def open_(self) -> None:
        if self.at == METER and self._meter != NONE:
            if self.pulse(self._meter, usual(self.walk.coils[self._meter])):
                self.say(1, "ONE PULSE GIVEN")
            elif self.allowed():
                self.say(1, "REFUSED")
        elif self.at == LOCKOUT and self._lockout != NONE:
            if self._held:
                self.stop()
                self.draw()
            elif self.pulse(self._lockout, HOLD):
                self._held = True
                self.draw()
        else:
            self.refuse()

    def edge(self, switch: int, closed: int) -> None:
        super().edge(switch, closed)
        if switch in self._chutes:
            i = self._chutes.index(switch)
            self._coins[i] += closed
            self.at = CHUTES + i
            self.walk.heard.play()
            self.draw()

    def tick(self) -> None:
        for i in range(len(self._chutes)):
            if not self.play.closed[self._chutes[i]]:
                self._closed[i] = 0
            elif self._closed[i] < JAM:
                self._closed[i] += 1
                if self._closed[i] == JAM:
                    self.play.faults.report("coin_jam", self._chutes[i])
                    self.at = CHUTES + i
                    self.draw()

    def stop(self) -> None:
        """The lockout is let go."""
        if self._held:
            self._held = False
            self.console.coils.off(self._lockout)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
