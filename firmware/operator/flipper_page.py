"""Flippers: how long the strong winding takes to reach the end of its stroke."""

from firmware.base import ticks
from firmware.devices.switches import class_times
from firmware.operator.driving import Driving

PATIENCE = 5  # ticks


class Flippers(Driving):
    """Less and more choose a flipper; open strokes it once."""

    def __init__(self, walk: "Any") -> None:
        super().__init__(walk)
        self._began = 0
        self._wait = 0

    def count(self) -> int:
        return len(self.walk.flippers)

    def none(self) -> None:
        self.say(0, "NO FLIPPERS")
        self.say(1, "")

    def show(self, at: int) -> None:
        self.say(0, f"FLIPPER {at + 1} OF {self.count()}")
        self.say(1, "OPEN TO STROKE")

    def open_(self) -> None:
        if not self.count() or self._wait:
            self.refuse()
            return
        row = self.walk.flippers[self.at]
        if self.pulse(self.coil(row[2]), row[4]):
            self._began = self.console.now
            self._wait = PATIENCE
            self.say(1, "STROKE")
        elif self.allowed():
            self.say(1, "REFUSED")

    def edge(self, switch: int, closed: int) -> None:
        super().edge(switch, closed)
        if self._wait and closed and switch == self.switch(self.walk.flippers[self.at][1]):
            self._wait = 0
            still = class_times(self.walk.switches[switch][1], "")[0]
            self.say(1, f"END AFTER {ticks.diff(self.console.now, self._began) - still} MS")

    def tick(self) -> None:
        if self._wait:
            self._wait -= 1
            if not self._wait:
                self.say(1, "NO END OF STROKE")

    def stop(self) -> None:
        self._wait = 0


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
