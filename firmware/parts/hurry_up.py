"""A hurry-up: a value that falls with time until it is collected."""

from firmware.parts.window import Window
from firmware.play.feature import Feature

STEP = 10  # every value is a multiple of 10


class HurryUp:
    """Falls from `start` to `floor` in a straight line while its window runs, and is frozen with it.

        class Rush(Feature):
            name = "rush"
            chart = (
                ("idle", "standup", "falling", "light"),
                ("falling", "made.saucer", "idle", "collect"),
                ("falling", "rush.expired", "idle", None),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("collected")
                self._rush = HurryUp(self, start=100_000, floor=20_000, seconds=20, insert="lit")

            def light(self, event): self._rush.open()
            def collect(self, event): self._award.pay(self._rush.collect())

    Every value it pays is a multiple of 10.
    """

    def __init__(
        self,
        feature: Feature,
        start: int,
        floor: int,
        seconds: int,
        insert: "LampName | NoName" = "",
        flasher: "CoilName | NoName" = "",
    ) -> None:
        self.start = start
        self.floor = floor
        self.window = Window(feature, seconds, insert, flasher)

    def open(self) -> None:
        """From the start value."""
        self.window.open()

    def is_running(self) -> bool:
        """Whether there is something to collect."""
        return self.window.remaining_ms() > 0

    def worth(self) -> int:
        """What it is worth now, rounded down to a multiple of 10; the floor when it is over."""
        # In steps of ten and tenths of a second, so that no product leaves the small integers.
        fall = (self.start - self.floor) // STEP
        left = self.window.remaining_ms() // 100
        whole = self.window.length // 100
        return self.floor + fall // whole * left * STEP + fall % whole * left // whole * STEP

    def collect(self) -> int:
        """What it is worth; it is over."""
        points = self.worth()
        self.window.close()
        return points


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, LampName, NoName
