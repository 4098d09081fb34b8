"""Small points: what every switch is worth by itself, each with its chime."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

LIT_THERMAL = 400


class SmallPoints(Feature):
    """Every switch is worth a little; thermals are worth four times as much once the tail was completed."""

    name = "small"
    span = PERSISTENT
    chart = (
        ("on", "breeze", None, "lane"),
        ("on", "tail", None, "target"),
        ("on", "thermal", None, "thermal"),
        ("on", "return", None, "return_lane"),
        ("on", "outlane", None, "outlane"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lane = self.award("breeze", 500)
        self._target = self.award("tail", 300)
        self._thermal = self.award("thermal", 100)
        self._return = self.award("return", 400)
        self._outlane = self.award("outlane", 1_200)
        self._hundred = self.cue("hundred")
        self._thousand = self.cue("thousand")

    def bind(self) -> None:
        """Set-up is over: find the tail, which lights the thermals."""
        super().bind()
        self._tail = self.play.find("tail")

    def lane(self, event: int) -> None:
        """Pay a breeze lane."""
        self._pay(self._lane)

    def target(self, event: int) -> None:
        """Pay a target of the tail."""
        self._pay(self._target)

    def thermal(self, event: int) -> None:
        """Pay a thermal, lit or not."""
        self._thermal.pay(LIT_THERMAL if self._tail.completions() else self._thermal.points)
        self._hundred.play()

    def return_lane(self, event: int) -> None:
        """Pay a return lane."""
        self._pay(self._return)

    def outlane(self, event: int) -> None:
        """Pay an outlane."""
        self._outlane.pay()
        self._thousand.play()

    def _pay(self, award: "Award") -> None:
        award.pay()
        self._hundred.play()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
    from firmware.play.score import Award
