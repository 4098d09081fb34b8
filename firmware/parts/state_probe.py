"""A coincidence: something extra when two features meet."""

from firmware.play.feature import Feature


class StateProbe:
    """Whether another feature was in a state when the event in progress began.

        class Meeting(Feature):
            name = "meeting"
            chart = (
                ("on", "made.ramp", None, "both", "meets"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("met", 20_000)
                self._orbit = StateProbe(self, "left_orbit", "heard")

            def bind(self):
                super().bind()
                self._orbit.bind()

            def meets(self, event): return self._orbit.is_active()
            def both(self, event): self._award.pay()

    In a guard that is exact; in an action it sees the state of that moment.
    """

    def __init__(self, feature: Feature, other: "FeatureName", state: str) -> None:
        self._play = feature.play
        self._path = other + "/" + state
        self._state = -1

    def bind(self) -> None:
        """Set-up is over. Raises ChartError with the near miss when there is no such state."""
        self._state = self._play.engine.state_id(self._path)

    def is_active(self) -> bool:
        """Whether the other feature is in that state."""
        return bool(self._play.engine.is_active(self._state))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import FeatureName
