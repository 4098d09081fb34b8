"""15. Extra ball: lit at one outlane, collected only by draining there."""

from firmware.charts.model import ANY, after
from firmware.play.claims import NONE, ON, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER

FALL = 4000  # from the outlane to the trough, at most


class ExtraBall(Feature):
    """Drain at the lit outlane for an extra ball; the flipper buttons move the light."""

    name = "extra_ball"
    span = BALL
    chart = (
        ("idle", "outlane.right", "falling", "mark", "right_lit"),
        ("idle", "outlane.left", "falling", "mark", "left_lit"),
        ("falling", "playfield", "idle", None, "elsewhere"),
        ("falling", "trough", "fallen", None),
        ("falling", after(FALL), "idle", None),
        ("fallen", "playfield", "idle", None),
        ("fallen", "ball.lost", "idle", "win", "last"),
        ("fallen", "ball.ready", "idle", None),
        (ANY, "extra_ball.light", None, "light"),
        (ANY, "button", None, "move"),
    )

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._most = play.settings.get("extra_balls")
        self._lit = self.value("lit", 0, PLAYER)
        self._won = self.value("won", 0, PLAYER)
        self._left = self.value("left", 0, BALL)
        self._outlane = 0
        self._again = self.award("lit_again", 25_000)
        self._instead = self.award("instead", 50_000)
        self._lamp = self.lamp("extra_ball")
        self._lamps = (self.lamp("outlane.right"), self.lamp("outlane.left"))
        self._cue = self.cue("extra_ball")
        self._lit_cue = self.cue("extra_ball_lit")
        self._flow: Any = None

    def bind(self) -> None:
        super().bind()
        self._flow = self.play.find("game")

    def show(self) -> None:
        self._lamp.set(SLOW if self._lit.n else NONE)
        for side in range(2):
            self._lamps[side].set(ON if self._lit.n and self._left.n == side else NONE)

    def may_light(self) -> bool:
        """Whether lighting it would help this player."""
        return not self._lit.n and self._won.n < self._most.n

    def right_lit(self, event: int) -> bool:
        return bool(self._lit.n and not self._left.n)

    def left_lit(self, event: int) -> bool:
        return bool(self._lit.n and self._left.n)

    def elsewhere(self, event: int) -> bool:
        return bool(self.play.engine.value != self._outlane)

    def last(self, event: int) -> bool:
        return not self.play.engine.value

    def mark(self, event: int) -> None:
        self._outlane = event

    def move(self, event: int) -> None:
        self._left.n = 1 - self._left.n

    def light(self, event: int) -> None:
        if self._lit.n:
            self.news(b"EXTRA BALL LIT", self._again.pay())
        else:
            self._lit.n = 1
            self._lit_cue.play()
            self.news(b"EXTRA BALL LIT", 0)

    def win(self, event: int) -> None:
        self._lit.n = 0
        self.give()

    def give(self) -> None:
        """One more ball for this player, or points when the limit is reached."""
        if self._won.n < self._most.n:
            self._won.n += 1
            self._flow.owed_balls.n += 1
            self._cue.play()
            self.news(b"EXTRA BALL", 0)
        else:
            self.news(b"EXTRA BALL", self._instead.pay())


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from firmware.play.playfield import Playfield
