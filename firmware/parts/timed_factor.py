"""A whole-playfield factor for a time."""

from firmware.parts.window import Window
from firmware.play.feature import Feature


class TimedFactor:
    """Everything counts `factor` times while its window is open; awards declared exempt do not.

        class Twice(Feature):
            name = "twice"
            chart = (
                ("idle", "made.orbit.left", "on", "start"),
                ("on", "bumper", None, "longer"),
                ("on", "twice.expired ball.ended ball.abandoned", "idle", "stop"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._twice = TimedFactor(self, factor=2, seconds=25, cap=40, insert="lit")

            def start(self, event): self._twice.start()
            def longer(self, event): self._twice.extend(500)
            def stop(self, event): self._twice.stop()

    Started while it runs, its time becomes the greater of what is left and the usual length.
    `cap` is in seconds.
    """

    def __init__(
        self,
        feature: Feature,
        factor: int,
        seconds: int,
        cap: int,
        insert: "LampName | NoName" = "",
        flasher: "CoilName | NoName" = "",
    ) -> None:
        self.factor = factor
        self._cap = cap * 1000
        self._score = feature.play.score
        self.window = Window(feature, seconds, insert, flasher)

    def start(self) -> None:
        """Counts from the next switch on."""
        self._score.factor = self.factor
        self.window.open_for(max(self.window.remaining_ms(), self.window.length))

    def extend(self, ms: int) -> None:
        """A little longer, up to the cap."""
        self.window.extend(ms, self._cap)

    def stop(self) -> None:
        """Everything counts once again."""
        self._score.factor = 1
        self.window.close()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, LampName, NoName
