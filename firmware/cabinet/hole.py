"""A hole that holds a ball until its coil gives it back."""

from firmware.play.feature import Feature
from firmware.play.memory import KEPT

HOLD = 500  # a ball rests this long before it is given back
RETRY = 2000


class Hole(Feature):
    """Gives every ball straight back, and tries again until its switches are open.

    class Porch(Hole):
        name = "porch"
        places = ("porch",)
        eject_coil = "porch_eject"
        chart = hole rows for the switches, as in Honey Flow's shots.py
    """

    span = KEPT
    places: "tuple[str, ...]" = ()
    eject_coil = ""

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._switches = [play.switch(name, self.name) for name in self.places]
        self._coil = self.coil(self.eject_coil)
        self._clock = self.clock(self._give_back)
        self._counted = 0

    def changed(self, event: int) -> None:
        """A ball came or went: count again, and give back what is there."""
        n = 0
        for switch in self._switches:
            n += self.play.closed[switch]
        self.play.held += n - self._counted
        self._counted = n
        self.play.count_free()
        if not n:
            self._clock.stop()
        elif not self._clock.running():
            self._clock.start(HOLD)

    def _give_back(self) -> None:
        self._coil.pulse()
        self._clock.start(RETRY)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
