"""Temperature of a winding: how warm, how soon, and how long it may be on."""

import math

from firmware.base.errors import UsageError
from hil.electrical.sums import copper

# Highest temperature in °C by insulation class (IEC 60085, read on a secondary page).
CLASSES = {"Y": 90.0, "A": 105.0, "E": 120.0, "B": 130.0, "F": 155.0, "H": 180.0}

# Longest on-time in seconds of a five-minute cycle, by printed duty in percent
# (DIN VDE 0580 as a solenoid maker's notes give it). Only for a coil with a printed duty.
PRINTED_DUTY = {5: 15.0, 15: 45.0, 25: 75.0, 40: 120.0, 60: 180.0}


def highest(insulation: str) -> float:
    """Highest temperature in °C of an insulation class. Raises UsageError: unknown class."""
    if insulation.upper() not in CLASSES:
        raise UsageError(f"insulation class '{insulation}' is not one of {', '.join(CLASSES)}")
    return CLASSES[insulation.upper()]


def printed_duty(seconds: float) -> int:
    """The least printed duty (percent) that allows `seconds` on in five minutes; 100 when none does."""
    for percent, longest in PRINTED_DUTY.items():
        if seconds <= longest:
            return percent
    return 100


def k_factor(start: float, end: float) -> float:
    """Factor k in A·√s/mm² that warms copper from `start` to `end` °C without loss (IEC 60364-5-54)."""
    qc = copper.HEAT * 1e-9  # J/(K·mm³)
    rho = copper.RHO_20 * 1e3  # Ω·mm
    ratio = (copper.BETA + end) / (copper.BETA + start)
    return math.sqrt(qc * (copper.BETA + 20) / rho * math.log(ratio))


def seconds_at_current(amperes: float, gauge: int, start: float, end: float) -> float:
    """Seconds in which a constant current warms a wire from `start` to `end` °C without loss."""
    mm2 = copper.area(gauge) * 1e6
    return (k_factor(start, end) * mm2 / amperes) ** 2


def onderdonk(amperes: float, gauge: int, start: float, end: float) -> float:
    """Seconds as `seconds_at_current`, by Onderdonk's formula (from memory), for comparison."""
    circular_mils = (copper.diameter(gauge) / 25.4e-6) ** 2
    return (circular_mils / amperes) ** 2 * math.log10((end - start) / (234 + start) + 1) / 33


STEPS = 400


def warm(volts: float, ohms_20: float, heat: float, seconds: float, start: float, source: float = 0) -> float:
    """Temperature in °C after `seconds` at constant `volts` from `start` °C, no loss; `heat` in J/K.

    The power falls as the winding warms: ΔT = (−1 + √(1 + 2αV²t/(R₀C)))/α, with R₀ and α at the start.
    Behind a `source` resistance in Ω, which stays cold, the same is integrated in STEPS steps.
    """
    ohms = ohms_20 * copper.at(start)
    slope = copper.ALPHA_20 / copper.at(start)
    if not source:
        return start + (math.sqrt(1 + 2 * slope * volts * volts * seconds / (ohms * heat)) - 1) / slope
    gained = 0.0
    for _ in range(STEPS):
        now = ohms * (1 + slope * gained)
        gained += (volts / (now + source)) ** 2 * now * seconds / STEPS / heat
    return start + gained


def seconds_at_voltage(volts: float, ohms_20: float, heat: float, start: float, end: float) -> float:
    """Seconds at constant `volts` from `start` to `end` °C, no loss; `heat` in J/K."""
    a0 = copper.at(start)
    slope = copper.ALPHA_20 / a0
    gained = end - start
    return ((1 + slope * gained) ** 2 - 1) * ohms_20 * a0 * heat / (2 * slope * volts * volts)


def settled(joules: float, period: float, cooling: float, ambient: float) -> float:
    """Mean temperature in °C after many pulses of `joules` every `period` s, with `cooling` in W/K."""
    return ambient + joules / period / cooling


def hold_watts(cooling: float, insulation: str, ambient: float) -> float:
    """Power in W that a winding may take for ever."""
    return cooling * (highest(insulation) - ambient)
