"""In the place of a coil that a machine does without."""

from firmware.play.requests import CoilHandle


class NoCoil(CoilHandle):
    """Requests nothing."""

    def pulse(self) -> None:
        """Nothing."""

    def hold(self) -> None:
        """Nothing."""

    def release(self) -> None:
        """Nothing."""
