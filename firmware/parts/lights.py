"""A group of lights that are lit one by one: rollover lanes and target banks."""

from firmware.base.errors import GameError
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Lights:
    """One light a switch; the switches are consecutive rows of the wiring table.

        class TopLanes(Feature):
            name = "top_lanes"
            chart = (
                ("on", "top", None, "roll", "not fills"),
                ("on", "top", None, "complete", "fills"),
                ("on", "button.left", None, "left"),
                ("on", "button.right", None, "right"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("complete", 10_000)
                self._lanes = Lights(self, ("top.1", "top.2", "top.3"))

            def show(self): self._lanes.show()
            def fills(self, event): return self._lanes.would_fill(self._lanes.place(event))
            def roll(self, event): self._lanes.light(self._lanes.place(event))
            def left(self, event): self._lanes.rotate_left()
            def right(self, event): self._lanes.rotate_right()

            def complete(self, event):
                self._lanes.clear()
                self._award.pay()

    Lamps of the same names are lit by `show`. A light whose switch is excused (play.switch_monitor) does not
    have to be lit for the others to be all; when every switch is excused, none is.
    """

    def __init__(
        self, feature: Feature, switches: "tuple[SwitchName, ...]", span: int = BALL, what: str = "lit"
    ) -> None:
        self.size = len(switches)
        self.first = feature.play.switch(switches[0], feature.name)
        for i in range(self.size):
            if feature.play.switch(switches[i], feature.name) != self.first + i:
                raise GameError(
                    "switches of '" + feature.name + "' must stand side by side in the wiring table"
                )
        self._all = (1 << self.size) - 1
        self._lit = feature.value(what, 0, span)
        self._excused: bytearray = feature.play.switch_monitor.excused
        self._lamps = [feature.lamp(name) for name in switches]

    def place(self, event: int) -> int:
        """Which light (0 …) the switch event belongs to."""
        return event - self.first

    def light(self, place: int) -> None:
        """Light one; −1 is none."""
        if place >= 0:
            self._lit.value |= 1 << place

    def is_lit(self, place: int) -> bool:
        """Whether one is lit."""
        return bool(self._lit.value >> place & 1)

    def is_full(self) -> bool:
        """Whether all are lit."""
        return self._is_all(self._lit.value)

    def would_fill(self, place: int) -> bool:
        """Whether this one makes them all, which they are not yet.

        Those that would be all but for a switch excused meanwhile are completed by the next one hit.
        """
        lit = self._lit.value
        return place >= 0 and lit != self._all and self._is_all(lit | 1 << place)

    def _is_all(self, lit: int) -> bool:
        counts = 0
        for place in range(self.size):
            if not self._excused[self.first + place]:
                counts |= 1 << place
        return lit & counts == counts if counts else lit == self._all

    def lowest_dark(self) -> int:
        """The first dark one, −1 when all are lit."""
        for place in range(self.size):
            if not self.is_lit(place):
                return place
        return -1

    def clear(self) -> None:
        """All dark."""
        self._lit.value = 0

    def rotate_left(self) -> None:
        """Every light moves one to the left, round the end."""
        n = self._lit.value
        self._lit.value = n >> 1 | (n & 1) << (self.size - 1)

    def rotate_right(self) -> None:
        """Every light moves one to the right, round the end."""
        n = self._lit.value << 1
        self._lit.value = n & self._all | n >> self.size

    def show(self) -> None:
        """Set the lamps."""
        for place in range(self.size):
            self._lamps[place].set(ON if self.is_lit(place) else NONE)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import SwitchName
