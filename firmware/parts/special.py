"""Prizes by the operator's settings: extra balls up to a limit; a special as points, credit or extra ball."""

from firmware.play.counts import EXTRA_BALLS
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT, PLAYER

POINTS = 0
CREDIT = 1


class ExtraBalls:
    """Extra balls of one player, up to the operator's limit; points beyond it.

        class ExtraBall(Feature):
            name = "extra_ball"
            span = PLAYER
            chart = (
                ("dark", "standup", "lit", None),
                ("lit", "made.saucer", "dark", "win"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._balls = ExtraBalls(self, instead=50_000)
                self._lamp = self.lamp("extra_ball")

            def bind(self):
                super().bind()
                self._balls.bind()

            def show(self): self._lamp.set(SLOW if self.is_in("lit") else NONE)
            def win(self, event): self.give()
            def give(self): self.news(b"EXTRA BALL", self._balls.give())

    Needs the setting `extra_balls`, the most of a player's game.
    """

    _flow: "GameFlow"

    def __init__(self, feature: Feature, instead: int) -> None:
        self._play = feature.play
        self._most = feature.play.settings.get("extra_balls")
        self._won = feature.value("won", 0, PLAYER)
        self._instead = feature.award("instead", instead)
        self._cue = feature.cue("extra_ball")

    def bind(self) -> None:
        """Set-up is over. Needs a feature called `game` with `owe_ball`."""
        self._flow = self._play.find("game")

    def may_win(self) -> bool:
        """Whether this player's limit is not reached yet."""
        return self._won.value < self._most.value

    def give(self) -> int:
        """One more ball, or points; the points."""
        if not self.may_win():
            return self._instead.pay()
        self._won.value += 1
        self._flow.owe_ball()
        self._play.show_all = True  # whoever shows that a ball is owed
        self._play.counts.add(EXTRA_BALLS)
        self._cue.play()
        return 0


class Special(Feature):
    """Answers `special.win` with points, a credit or an extra ball, whichever is set, and a knock.

        class OurSpecial(Special):
            name = "special"
            worth = 250_000
            chart = Special.chart

    Needs the setting `special` (0 points, 1 a credit, 2 an extra ball) and features called `credits` and
    `extra_ball` (with `give`).
    """

    name = "special"
    span = PERSISTENT
    worth = 0
    chart = (("on", "special.win", None, "win"),)
    _extra_ball: "Prize"
    _credits: "Prize"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._meaning = play.settings.get("special")
        self._points = self.award("points", self.worth)
        self._knocker = self.optional_coil("knocker")
        self._cue = self.cue("special")

    def bind(self) -> None:
        """Set-up is over: find credits and extra ball."""
        super().bind()
        self._extra_ball = self.play.find("extra_ball")
        self._credits = self.play.find("credits")

    def win(self, event: int) -> None:
        """Give what the setting `special` chooses."""
        self._cue.play()
        if self._meaning.value == CREDIT:
            self._credits.give()
            self.news(b"SPECIAL CREDIT", 0)
            return
        self._knocker.pulse()
        if self._meaning.value == POINTS:
            self.news(b"SPECIAL", self._points.pay())
        else:
            self._extra_ball.give()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import GameFlow, Prize
    from firmware.play.rule_context import RuleContext
