"""The rate of virtual time against wall time, with pause."""

RATES = ((1, 16), (1, 8), (1, 4), (1, 2), (1, 1), (2, 1), (4, 1), (8, 1))
USUAL = RATES.index((1, 1))
LONGEST_FRAME_MS = 100  # after a stall of the window, time does not jump further than this


class Pace:
    """Converts wall time to virtual time at a rate; fractions of a ms are carried to the next frame."""

    def __init__(self) -> None:
        self.paused = False
        self._rate = USUAL
        self._carried = 0

    def slower(self) -> None:
        """Take the next slower rate, if there is one."""
        self._rate = max(0, self._rate - 1)

    def faster(self) -> None:
        """Take the next faster rate, if there is one."""
        self._rate = min(len(RATES) - 1, self._rate + 1)

    def virtual_ms(self, wall_ms: int) -> int:
        """Virtual milliseconds for `wall_ms`; 0 while paused."""
        if self.paused:
            return 0
        times, parts = RATES[self._rate]
        self._carried += min(wall_ms, LONGEST_FRAME_MS) * times * 16 // parts
        whole, self._carried = divmod(self._carried, 16)
        return whole

    @property
    def words(self) -> str:
        """The rate as text."""
        times, parts = RATES[self._rate]
        rate = f"{times}×" if parts == 1 else f"{times}/{parts}×"
        return f"paused, speed {rate}" if self.paused else f"speed {rate}"
