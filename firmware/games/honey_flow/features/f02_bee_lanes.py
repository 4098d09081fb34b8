"""2. Bee lanes: three rollovers and the bonus multiplier."""

from firmware.parts.lights import Lights
from firmware.parts.multiplier import Multiplier
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER


class BeeLanes(Feature):
    """All three bee lanes pay 10,000 and the next bonus multiplier; the flipper buttons move the lights."""

    name = "bee_lanes"
    span = BALL
    chart = (
        ("open", "bee", None, "light", "not fills"),
        ("open", "bee", None, "complete", "fills"),
        ("open", "button.left", None, "rotate_left", "not aiming"),
        ("open", "button.right", None, "rotate_right", "not aiming"),
        ("open", "ball.started", None, "new_ball"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lanes = Lights(self, ("bee.1", "bee.2", "bee.3"))
        self.multiplier = Multiplier(self, top=6)
        self._each_ball = play.settings.get("multiplier_each_ball")
        self._full_before = self.value("full_before", 0, PLAYER)
        self._award = self.award("complete", 10_000)
        self._first_full = self.award("first_full", 100_000)
        self._full = self.award("full", 25_000)
        self._done = self.event("bees.done")
        self._grown = self.event("multiplier.grown")
        self._cue = self.cue("bees")
        self._full_cue = self.cue("bees_full")

    def show(self) -> None:
        """Set the inserts of lanes and multiplier."""
        self._lanes.show()
        self.multiplier.show()

    def report(self, page: "Page") -> bool:
        """Write the bonus multiplier."""
        page.title(0, b"BONUS TIMES")
        page.clear(1)
        page.number(1, 8, self.multiplier.times())
        return True

    def bind(self) -> None:
        """Set-up is over: find the flight, which moves its flash instead of the lights."""
        super().bind()
        self._flight = self.play.find("spring_flight")

    def aiming(self, event: int) -> bool:
        """Whether the flipper buttons move the flight's flash."""
        return bool(self._flight.is_in("aiming"))

    def fills(self, event: int) -> bool:
        """Whether this lane completes the three."""
        return self._lanes.would_fill(self._lanes.place(event))

    def light(self, event: int) -> None:
        """Light the lane that was hit."""
        self._lanes.light(self._lanes.place(event))

    def complete(self, event: int) -> None:
        """All three: the multiplier grows and the lanes pay."""
        self._lanes.clear()
        self._cue.play()
        if not self.multiplier.at_top():
            self.multiplier.grow()
            self._grown.raise_(self.multiplier.times())
            self.news(b"BEE LANES", self._award.pay())
        elif self._full_before.value:
            self.news(b"BEE LANES", self._full.pay())
        else:
            self._full_before.value = 1
            self._full_cue.play()
            self.news(b"ALL THE BEES", self._first_full.pay())
        self._done.raise_()

    def rotate_left(self, event: int) -> None:
        """Move the lights one lane to the left."""
        self._lanes.rotate_left()

    def rotate_right(self, event: int) -> None:
        """Move the lights one lane to the right."""
        self._lanes.rotate_right()

    def new_ball(self, event: int) -> None:
        """Reset the multiplier where the operator wants that."""
        if self._each_ball.value:
            self.multiplier.reset()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
