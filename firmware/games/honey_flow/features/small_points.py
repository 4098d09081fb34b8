"""Small points: what each switch pays when it closes, and each shot when it is made."""

from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class SmallPoints(Feature):
    """Pays every switch; pays ramps, orbits and scoops only while no feature has a lit award at that shot.

    It also lights `ball_in_play`.
    """

    name = "small"
    span = PERSISTENT
    chart = (
        ("on", "meadow", None, "bumper"),
        ("on", "sling", None, "sling"),
        ("on", "spinner", None, "turn"),
        ("on", "smoker frame spot keeper", None, "standup"),
        ("on", "bee", None, "lane"),
        ("on", "inlane", None, "inlane"),
        ("on", "outlane", None, "outlane"),
        ("on", "made.ramp", None, "ramp", "unlit"),
        ("on", "made.orbit", None, "orbit", "unlit"),
        ("on", "made.cell made.hive", None, "scoop", "unlit"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._bumper = self.award("bumper", 500)
        self._sling = self.award("sling", 110)
        self._turn = self.award("spinner", 200)
        self._standup = self.award("standup", 1_000)
        self._lane = self.award("bee_lane", 1_000)
        self._inlane = self.award("inlane", 1_000)
        self._outlane = self.award("outlane", 5_000)
        self._ramp = self.award("ramp", 5_000)
        self._orbit = self.award("orbit", 2_500)
        self._scoop = self.award("scoop", 2_500)
        self._ball = self.lamp("ball_in_play")

    def show(self) -> None:
        """Light `ball_in_play` while a ball is played."""
        self._ball.set(ON if self.play.live else NONE)

    def unlit(self, event: int) -> bool:
        """Whether no feature offers a lit award at this shot."""
        return not self.play.offers.any(event)

    def bumper(self, event: int) -> None:
        """Pay for a bumper hit."""
        self._bumper.pay()

    def sling(self, event: int) -> None:
        """Pay for a sling hit."""
        self._sling.pay()

    def turn(self, event: int) -> None:
        """Pay for one turn of the spinner."""
        self._turn.pay()

    def standup(self, event: int) -> None:
        """Pay for a standup target."""
        self._standup.pay()

    def lane(self, event: int) -> None:
        """Pay for a bee lane."""
        self._lane.pay()

    def inlane(self, event: int) -> None:
        """Pay for an inlane."""
        self._inlane.pay()

    def outlane(self, event: int) -> None:
        """Pay for an outlane."""
        self._outlane.pay()

    def ramp(self, event: int) -> None:
        """Pay for a ramp."""
        self._ramp.pay()

    def orbit(self, event: int) -> None:
        """Pay for an orbit."""
        self._orbit.pay()

    def scoop(self, event: int) -> None:
        """Pay for a scoop."""
        self._scoop.pay()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
