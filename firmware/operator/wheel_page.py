"""The wheel: driven to its next index pulse, whose length is shown."""

from firmware.base import ticks
from firmware.operator.coil_moving import NONE, CoilMovingPage
from firmware.play.requests import HOLD
from firmware.play.rows import longest_on

PATIENCE = 80  # ticks


class Wheel(CoilMovingPage):
    """Open drives the wheel until its index switch has closed and opened."""

    empty = "NO WHEEL"
    nothing_came = "NO INDEX PULSE"

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._motor = self.coil("wheel_motor")
        self._index = self.switch("wheel.index")
        self._closed_at = 0
        self._pulses = 0

    def count(self) -> int:
        """One row where motor and index switch are wired."""
        return 1 if self._motor != NONE and self._index != NONE else 0

    def show(self, at: int) -> None:
        """Write the state of the index switch."""
        self.show_line(0, "WHEEL INDEX " + ("CLOSED" if self.play.closed[self._index] else "OPEN"))
        self.show_line(1, "OPEN TO TURN")

    def open_(self) -> None:
        """Drive the motor."""
        if not self.count() or self._wait:
            self.refuse()
            return
        longest = longest_on(self.menu.coils[self._motor])
        if self.move(self._motor, longest or HOLD, PATIENCE, "TURNING"):
            self._closed_at = 0

    def edge(self, switch: int, closed: int) -> None:
        """Stop at the end of the index pulse and write its length."""
        super().edge(switch, closed)
        if switch != self._index:
            return
        if closed:
            self._closed_at = self.console.now
        elif self._wait and self._closed_at:
            self._pulses += 1
            self.stop()
            self.show_line(0, f"WHEEL STOP {self._pulses}")
            self.show_line(1, f"PULSE OF {ticks.diff(self.console.now, self._closed_at)} MS")

    def stop(self) -> None:
        """The motor stops."""
        super().stop()
        if self._motor != NONE:
            self.console.coils.off(self._motor)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
