"""The coil supply: voltage dip, stored energy, discharge, and the voltages that count as a hazard."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

TOUCH_DC = 60.0  # V, touchable ripple-free DC; also IEC 60204-1 6.2.4: at most 60 V 5 s after switch-off
TOUCH_AC = 25.0  # V effective; rectified but unsmoothed supplies are judged by it
GUARD_AT = 50.0  # V: guard live parts from here (OSHA 1910.303(g)(2), read)
SAFE = 10.0  # V: our own aim before hands go in
DOWN_SECONDS = 5.0
SAFE_SECONDS = 30.0
MAINS = 0.10  # mains above nominal at the worst corner
CAPACITANCE = 0.20  # electrolytic above nominal at the worst corner


@dataclass(frozen=True)
class Reservoir:
    """A reservoir capacitor: volts and farads, nominal or at the worst corner."""

    volts: float
    farads: float

    def worst(self) -> "Reservoir":
        """The corner with the most stored energy: +10 % mains, +20 % capacitance."""
        return Reservoir(self.volts * (1 + MAINS), self.farads * (1 + CAPACITANCE))

    @property
    def joules(self) -> float:
        """Stored energy in J: ½CV²."""
        return self.farads * self.volts**2 / 2

    def after(self, ohms: float, seconds: float) -> float:
        """Voltage in V after `seconds` on a bleeder of `ohms`."""
        return self.volts * math.exp(-seconds / (ohms * self.farads))

    def seconds_to(self, volts: float, ohms: float) -> float:
        """Seconds until `volts` are left; 0 when it starts below."""
        return max(0.0, ohms * self.farads * math.log(self.volts / volts))

    def bleeder(self, volts: float, seconds: float) -> float:
        """The greatest bleeder in Ω that is down to `volts` in `seconds`; infinite when it starts below."""
        if self.volts <= volts:
            return math.inf
        return seconds / (self.farads * math.log(self.volts / volts))

    def watts(self, ohms: float) -> float:
        """Power in W of the bleeder while the supply is on."""
        return self.volts**2 / ohms


def bleeder(nominal: Reservoir) -> float:
    """The greatest bleeder in Ω that meets both aims at the worst corner: 60 V in 5 s, 10 V in 30 s."""
    worst = nominal.worst()
    return min(worst.bleeder(TOUCH_DC, DOWN_SECONDS), worst.bleeder(SAFE, SAFE_SECONDS))


def dip(volts: float, source: float, loads: Iterable[float]) -> float:
    """Voltage in V at the coils when all of `loads` (Ω) are on, currents settled."""
    siemens = sum(1 / ohms for ohms in loads)
    return volts / (1 + source * siemens)


def hazardous(volts: float, smoothed: bool = True) -> bool:
    """Whether a supply counts as dangerous to touch; `volts` DC, or effective when unsmoothed."""
    return volts > (TOUCH_DC if smoothed else TOUCH_AC)
