"""An aimed plunge: one landing switch flashes, which the flipper buttons move, and that one pays."""

from firmware.parts.graded_plunge import GradedPlunge
from firmware.play.claims import FAST, NONE, WINDOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class AimedPlunge(GradedPlunge):
    """A graded plunge that pays at the flashing one of its landing switches; the middle one flashes first.

        class Plunge(Feature):
            name = "plunge"
            chart = (
                ("idle", "ball.ready", "aiming", "aim"),
                ("aiming", "button.left", None, "left"),
                ("aiming", "button.right", None, "right"),
                ("aiming", "ball.away", "flying", None),
                ("flying", "top", "idle", "land", "flashes"),
                ("flying", "playfield", "idle", None),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("landed")
                lanes = ("top.1", "top.2", "top.3")
                self._plunge = AimedPlunge(self, lanes, worth=(5_000, 5_000, 5_000), most=5)

            def show(self): self._plunge.show(not self.is_in("idle"))
            def aim(self, event): self._plunge.begin()
            def left(self, event): self._plunge.move(-1)
            def right(self, event): self._plunge.move(1)
            def flashes(self, event): return self._plunge.flashes(event)
            def land(self, event): self._award.pay(self._plunge.land(event))

    Each landing switch has an insert of its name.
    """

    def __init__(
        self, feature: Feature, switches: "tuple[SwitchName, ...]", worth: "tuple[int, ...]", most: int
    ) -> None:
        super().__init__(feature, switches, worth, most)
        self._count = len(switches)
        self._place = feature.value("place", self._count // 2, BALL)
        self._lamps = [feature.lamp(name, WINDOW) for name in switches]

    def show(self, is_waiting: bool) -> None:
        """Flash the place that pays while a ball waits or is on its way."""
        for i in range(self._count):
            self._lamps[i].set(FAST if is_waiting and i == self._place.value else NONE)

    def move(self, step: int) -> None:
        """Move the flash by so many places, round the ends."""
        self._place.value = (self._place.value + step) % self._count

    def flashes(self, event: int) -> bool:
        """Whether the landing switch that closed is the one that flashes."""
        return event - self._first == self._place.value


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import SwitchName
