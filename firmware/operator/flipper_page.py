"""Flippers: how long the strong winding takes to reach the end of its stroke."""

from firmware.base import ticks
from firmware.devices.switches import class_times
from firmware.operator.coil_moving import CoilMovingPage
from firmware.play.rows import debounce_classes

STROKE_WAIT = 5  # ticks of 0.1 s


class Flippers(CoilMovingPage):
    """The less and more buttons choose a flipper; the open button fires it once."""

    empty = "NO FLIPPERS"
    nothing_came = "NO END OF STROKE"

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._began = 0

    def count(self) -> int:
        """How many flippers the game has."""
        return len(self.menu.flippers)

    def show(self, at: int) -> None:
        """Write the number of the chosen flipper."""
        self.show_line(0, f"FLIPPER {at + 1} OF {self.count()}")
        self.show_line(1, "OPEN TO STROKE")

    def open_(self) -> None:
        """Fire the strong winding."""
        if not self.count() or self._wait:
            self.refuse()
            return
        _button, _stroke_end, strong, _hold, longest = self.menu.flippers[self.at]
        if self.move(self.coil(strong), longest, STROKE_WAIT, "STROKE"):
            self._began = self.console.now

    def edge(self, switch: int, closed: int) -> None:
        """At the end of the stroke, write how long it took; the switch's debounce time is subtracted."""
        super().edge(switch, closed)
        if self._wait and closed and switch == self._stroke_end():
            self._wait = 0
            close_ms, _open_ms = class_times(debounce_classes(self.menu.switches)[switch], "")
            self.show_line(1, f"END AFTER {ticks.diff(self.console.now, self._began) - close_ms} MS")

    def _stroke_end(self) -> int:
        _button, stroke_end, _strong, _hold, _longest = self.menu.flippers[self.at]
        return self.switch(stroke_end)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
