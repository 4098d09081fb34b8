"""An aimed plunge: one landing switch flashes, which the flipper buttons move, and that one pays."""

from firmware.parts.graded_plunge import GradedPlunge
from firmware.play.claims import FAST, NONE, WINDOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class AimedPlunge(GradedPlunge):
    """A graded plunge that pays at the flashing one of its landing switches; the middle one flashes first.

        self.plunge = AimedPlunge(self, ("land.1", "land.2", "land.3"), worth=(5_000, 5_000, 5_000), most=5)
        chart = (
            ("idle", "ball.ready", "aiming", "aim", "by_hand"),
            ("aiming", "button.left", None, "left"),
            ("aiming", "ball.away", "flying", None),
            ("flying", "land", "idle", "land", "flashes"),
            ("flying", "playfield", "idle", None),
        )
        def left(self, event): self.plunge.move(-1)
        def flashes(self, event): return self.plunge.flashes(event)
        def show(self): self.plunge.show(not self.is_in("idle"))

    Each landing switch has an insert of its name.
    """

    def __init__(
        self, feature: Feature, switches: "tuple[str, ...]", worth: "tuple[int, ...]", most: int
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
