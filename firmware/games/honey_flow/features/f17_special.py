"""17. Special: what it is worth is the operator's choice."""

from firmware.play.feature import Feature
from firmware.play.memory import KEPT

POINTS = 0
CREDIT = 1


class Special(Feature):
    """A special is 250,000 points, a credit or an extra ball, whichever is set, with a knock."""

    name = "special"
    span = KEPT
    chart = (("on", "special.win", None, "win"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._meaning = play.settings.get("special")
        self._points = self.award("points", 250_000)
        self._knocker = self.coil("knocker")
        self._cue = self.cue("special")
        self._extra_ball: Any = None
        self._credits: Any = None

    def bind(self) -> None:
        super().bind()
        self._extra_ball = self.play.find("extra_ball")
        self._credits = self.play.find("credits")

    def win(self, event: int) -> None:
        self._cue.play()
        if self._meaning.n != CREDIT:
            self._knocker.pulse()
        if self._meaning.n == POINTS:
            self.news(b"SPECIAL", self._points.pay())
        elif self._meaning.n == CREDIT:
            self._credits.give()
            self.news(b"SPECIAL CREDIT", 0)
        else:
            self._extra_ball.give()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from firmware.play.playfield import Playfield
