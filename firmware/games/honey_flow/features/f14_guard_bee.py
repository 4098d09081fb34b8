"""14. Guard bee: the kickback at the left outlane."""

from firmware.charts.model import ANY
from firmware.parts.window import Window
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class GuardBee(Feature):
    """The guard kicks a ball out of the left outlane, once; a drain in the next 3 seconds is given back."""

    name = "guard_bee"
    span = BALL
    chart = (
        ("calm", "outlane.left", "grace", "kick", "lit"),
        ("grace", "outlane.left", None, "kick", "lit"),
        ("grace", "guard_bee.late", "calm", None),
        ("grace", "guard_bee.given", "calm", "close"),
        (ANY, "bank.smoker", None, "light"),
    )

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._lit = self.value("lit", 1, BALL)
        self._grace = Window(self, seconds=3, insert="again")
        self._kickback = self.coil("kickback")
        self._given = self.event("guard_bee.given")
        self._lamp = self.lamp("guard")
        self._cue = self.cue("guard")

    def show(self) -> None:
        self._lamp.set(ON if self._lit.n and self.play.live else NONE)

    def lit(self, event: int) -> bool:
        return bool(self._lit.n)

    def kick(self, event: int) -> None:
        self._lit.n = 0
        self._kickback.pulse()
        self._cue.play()
        self._grace.open()

    def light(self, event: int) -> None:
        self._lit.n = 1

    def close(self, event: int) -> None:
        self._grace.close()

    def save(self) -> bool:
        """Whether a ball that just drained is given back."""
        if self.play.tilted or not self.inside("grace"):
            return False
        self._given.raise_()
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
