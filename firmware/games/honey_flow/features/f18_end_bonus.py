"""18. End-of-ball bonus: comb cells times the multiplier."""

from firmware.cabinet.bonus import Bonus
from firmware.play.memory import BALL

FIFTH = 5  # spinner turns a cell


class EndBonus(Bonus):
    """1,000 for each comb cell of the ball, times the bonus multiplier; a tilt loses it."""

    name = "end_bonus"
    span = BALL
    per_cell = 1_000
    cap = 120
    carry_cap = 60
    chart = (
        ("play", "meadow smoker frame spot keeper bee inlane outlane", None, "count_cell"),
        ("play", "made.ramp made.orbit made.cell made.hive", None, "count_cell"),
        ("play", "spinner", None, "count_turn"),
        ("play", "ball.ended", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "button", None, "skip", "both"),
        ("counting", "bonus.counted", "counted", None),
        ("counting", "ball.abandoned", "counted", "abandon"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._turns = self.value("turns", 0, BALL)

    def bind(self) -> None:
        """Set-up is over: find comb, multiplier and the flow of the game."""
        super().bind()
        self._comb = self.play.find("kept_comb")
        self.multiplier = self.play.find("bee_lanes").multiplier
        self.last_ball = self.play.find("game").last_ball

    def carries_over(self) -> bool:
        """Whether the seal was lit, which uses it."""
        return bool(self._comb.use())

    def report(self, page: "Page") -> bool:
        """Write what the bonus is worth."""
        page.title(0, b"BONUS")
        page.clear(1)
        page.number(1, 11, self.total())
        return True

    def count_turn(self, event: int) -> None:
        """Every FIFTH turn of the spinner is a cell."""
        self._turns.value += 1
        if self._turns.value % FIFTH == 0:
            self.count_cell(event)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
