"""Switches as they are, and the edges of late."""

from firmware.base import ticks
from firmware.operator.sheet import Rows
from firmware.operator.wires import colours, place
from firmware.play.switch_monitor import RECENT


class Live(Rows):
    """The switch that moved last, or the one walked to: state, place, wire colours. Closures are heard."""

    def __init__(self, walk: "Any") -> None:
        super().__init__(walk)
        self._silent = False

    def count(self) -> int:
        return len(self.walk.names.of_switches)

    def show(self, at: int) -> None:
        _name, _kind, _zone, row, column = self.walk.switches[at]
        state = "CLOSED" if self.play.closed[at] else "OPEN"
        self.say(0, f"{self.walk.names.of_switches[at]} {state}")
        self.say(1, f"{place(row, column)} {colours(row, column)}")

    def edge(self, switch: int, closed: int) -> None:
        self.at = switch
        if closed and not self._silent:
            self.walk.heard.play()
        self.draw()

    def open_(self) -> None:
        """Sound on and off."""
        self._silent = not self._silent
        self.say(1, "SILENT" if self._silent else "SOUND IS ON")


class Recent(Rows):
    """The last edges, the newest first, with their time."""

    def count(self) -> int:
        return int(self.play.switch_monitor.held)

    def none(self) -> None:
        self.say(0, "NO EDGE YET")
        self.say(1, "")

    def show(self, at: int) -> None:
        watch = self.play.switch_monitor
        i = (watch.at - 1 - at) % RECENT
        state = "CLOSED" if watch.recent_closed[i] else "OPENED"
        ago = ticks.diff(self.play.timers.now, watch.recent_ms[i])
        self.say(0, f"{self.walk.names.of_switches[watch.recent[i]]} {state}")
        self.say(1, f"{at + 1}. {seconds(ticks.add(self.console.now, -ago))}")

    def edge(self, switch: int, closed: int) -> None:
        self.draw()


def seconds(ms: int) -> str:
    """A time since the start, to the millisecond."""
    rest = str(ms % 1000)
    return f"AT {ms // 1000}." + "0" * (3 - len(rest)) + rest + " S"


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
