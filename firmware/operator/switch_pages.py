"""Switches as they are, and the edges of late."""

from firmware.base import ticks
from firmware.operator.service_page import ListPage
from firmware.operator.wires import colours, place
from firmware.play.switch_monitor import RECENT


class Live(ListPage):
    """The switch that moved last, or the one chosen: state, place, wire colours. A closure plays a sound."""

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._silent = False

    def count(self) -> int:
        """How many switches there are."""
        return len(self.menu.names.of_switches)

    def show(self, at: int) -> None:
        """Write a switch's state, its place and its wires."""
        _name, _kind, _zone, row, column = self.menu.switches[at]
        state = "CLOSED" if self.play.closed[at] else "OPEN"
        self.show_line(0, f"{self.menu.names.of_switches[at]} {state}")
        self.show_line(1, f"{place(row, column)} {colours(row, column)}")

    def edge(self, switch: int, closed: int) -> None:
        """Show the switch that moved; a closure plays a sound."""
        self.at = switch
        if closed and not self._silent:
            self.menu.heard.play()
        self.draw()

    def open_(self) -> None:
        """Sound on and off."""
        self._silent = not self._silent
        self.show_line(1, "SILENT" if self._silent else "SOUND IS ON")


class Recent(ListPage):
    """The last edges, the newest first, with their time."""

    empty = "NO EDGE YET"

    def count(self) -> int:
        """How many edges are recorded."""
        return int(self.play.switch_monitor.held)

    def show(self, at: int) -> None:
        """Write an edge and its time."""
        watch = self.play.switch_monitor
        i = (watch.at - 1 - at) % RECENT
        state = "CLOSED" if watch.recent_closed[i] else "OPENED"
        ago = ticks.diff(self.play.timers.now, watch.recent_ms[i])
        self.show_line(0, f"{self.menu.names.of_switches[watch.recent[i]]} {state}")
        self.show_line(1, f"{at + 1}. {seconds(ticks.add(self.console.now, -ago))}")

    def edge(self, switch: int, closed: int) -> None:
        """Show the edges anew."""
        self.draw()


def seconds(ms: int) -> str:
    """A time since the start, to the millisecond."""
    rest = str(ms % 1000)
    return f"AT {ms // 1000}." + "0" * (3 - len(rest)) + rest + " S"


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
