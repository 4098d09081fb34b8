"""The coil supply at the coil's connector: what it heats with, how high it peaks, how much it can give."""

import math
from dataclasses import dataclass, replace

from hil.electrical.sums.given import not_negative, positive

SOURCE = 0.3  # Ω of supply and wires, until they are measured
PEAK = math.sqrt(2)  # of a rectified sine, to its effective value


@dataclass(frozen=True)
class Feed:
    """The coil supply. Raises UsageError for impossible values.

    `volts` are DC of a smoothed supply; of one that is rectified without a reservoir they are effective
    (RMS), as a true-RMS meter shows them. `limit` is the most amperes that it gives, 0: not known.
    """

    volts: float
    source: float = 0.0  # Ω, supply and wiring together
    smoothed: bool = True
    guarded: bool = False  # covers, interlock, discharge and signs of a dangerous supply are there
    isolated: bool = True  # from the mains, for certain
    limit: float = 0.0

    def __post_init__(self) -> None:
        positive("supply volts", self.volts)
        not_negative("source resistance", self.source)
        not_negative("the supply's current limit", self.limit)

    @property
    def peak(self) -> float:
        """The highest voltage in V of each half-wave; of a smoothed supply its volts."""
        return self.volts if self.smoothed else self.volts * PEAK

    def with_reservoir(self) -> "Feed":
        """The supply with a reservoir added: the bus stands at the peak of the half-waves, hardly loaded."""
        return replace(self, volts=self.peak, smoothed=True)

    def given(self, amperes: float) -> float:
        """Current in A of a load that would draw `amperes`: no more than the supply's own limit."""
        return min(amperes, self.limit) if self.limit else amperes

    def __str__(self) -> str:
        return f"{self.volts:g} V DC" if self.smoothed else f"{self.volts:g} V RMS, rectified and unsmoothed"
