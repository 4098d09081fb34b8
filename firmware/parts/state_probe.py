"""A coincidence: something extra when two features meet."""

from firmware.play.feature import Feature


class StateProbe:
    """Whether another feature was in a state when the event in progress began.

        self.grand = StateProbe(self, "nectar_flow", "running")
        def bind(self): super().bind(); self.grand.bind()
        def top(self, event):
            if self.grand.is_active(): self.cue.play()

    In a guard that is exact; in an action it sees the state of that moment.
    """

    def __init__(self, feature: Feature, other: str, state: str) -> None:
        self._play = feature.play
        self._path = other + "/" + state
        self._state = -1

    def bind(self) -> None:
        """Set-up is over. Raises ChartError with the near miss when there is no such state."""
        self._state = self._play.engine.state_id(self._path)

    def is_active(self) -> bool:
        """Whether the other feature is in that state."""
        return bool(self._play.engine.is_active(self._state))
