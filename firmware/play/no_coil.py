"""In the place of a coil that a machine does without."""


class NoCoil:
    """Has a CoilHandle's methods and requests nothing."""

    def pulse(self) -> None:
        """Nothing."""

    def hold(self) -> None:
        """Nothing."""

    def release(self) -> None:
        """Nothing."""
