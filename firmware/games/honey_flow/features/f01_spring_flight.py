"""1. Spring Flight: the skill award."""

from firmware.cabinet.shooter import FRESH
from firmware.play.claims import FAST, NONE, WINDOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER

MOST = 5


class SpringFlight(Feature):
    """Plunge into the flashing bee lane, which the flipper buttons move, for 15,000 a flight."""

    name = "spring_flight"
    span = BALL
    chart = (
        ("idle", "ball.ready", "aiming", "aim", "by_hand"),
        ("aiming", "button.left", None, "left"),
        ("aiming", "button.right", None, "right"),
        ("aiming", "ball.away", "flying", None),
        ("flying", "bee", "idle", "land", "flashing"),
        ("flying", "playfield", "idle", None),
        ("flying", "ball.ready", "aiming", "aim", "by_hand"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._flights = self.value("flights", 0, PLAYER)
        self._lane = self.value("lane", 1, BALL)
        self._award = self.award("landed", 15_000)
        self._lamps = [self.lamp("bee.1", WINDOW), self.lamp("bee.2", WINDOW), self.lamp("bee.3", WINDOW)]
        self._first = play.switch("bee.1", self.name)
        self._cue = self.cue("flight")

    def show(self) -> None:
        """Flash the lane that pays."""
        waiting = not self.is_in("idle")
        for i in range(3):
            self._lamps[i].set(FAST if waiting and i == self._lane.value else NONE)

    def by_hand(self, event: int) -> bool:
        """Whether the ball waits for a plunge by hand."""
        return bool(self.play.engine.value)

    def aim(self, event: int) -> None:
        """A new ball: the flight number grows, up to MOST."""
        if self.play.engine.value == FRESH:
            self._flights.value = min(self._flights.value + 1, MOST)

    def left(self, event: int) -> None:
        """Move the flash one lane to the left."""
        self._lane.value = (self._lane.value + 2) % 3

    def right(self, event: int) -> None:
        """Move the flash one lane to the right."""
        self._lane.value = (self._lane.value + 1) % 3

    def flashing(self, event: int) -> bool:
        """Whether the lane that was hit is the one that flashes."""
        return event - self._first == self._lane.value

    def land(self, event: int) -> None:
        """Pay the landing times the flight number."""
        points = self._award.pay(self._award.points * self._flights.value)
        self._cue.play()
        self.news(b"SPRING FLIGHT", points)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
