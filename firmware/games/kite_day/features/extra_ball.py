"""5. Extra ball: lit by the tail, collected in the updraft."""

from firmware.parts.special import ExtraBalls
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class ExtraBall(Feature):
    """The second tail of a ball lights the extra ball, which the updraft gives."""

    name = "extra_ball"
    span = BALL
    chart = (
        ("dark", "extra_ball.light", "lit", "light"),
        ("lit", "entered.updraft_hole", "dark", "win", "in_play"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._balls = ExtraBalls(self, instead=15_000)
        self._lamp = self.lamp("extra_ball")
        self._cue = self.cue("lit")

    def bind(self) -> None:
        """Set-up is over: find whom extra balls are owed."""
        super().bind()
        self._balls.bind()

    def show(self) -> None:
        """Set the insert."""
        self._lamp.set(ON if self.is_in("lit") else NONE)

    def in_play(self, event: int) -> bool:
        """Whether the machine is neither tilted nor between balls."""
        return self.play.live

    def light(self, event: int) -> None:
        """It is lit."""
        self._cue.play()

    def win(self, event: int) -> None:
        """The updraft gives it."""
        self.give()

    def give(self) -> None:
        """One more ball for this player, or points when the limit is reached."""
        self._balls.give()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
