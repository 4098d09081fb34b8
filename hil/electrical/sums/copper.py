"""Copper wire: gauge, resistance, temperature and heat capacity."""

import math

from firmware.base.errors import UsageError

RHO_20 = 1 / 58e6  # Ω·m at 20 °C (IEC 60028, read on a secondary page)
ALPHA_20 = 3.93e-3  # 1/K, of the resistance at 20 °C (IEC 60028)
HEAT = 3.45e6  # J/(K·m³), Qc of IEC 60364-5-54
BETA = 234.5  # °C, the zero of copper's resistance line in IEC 60364-5-54
DENSITY = 8.93e3  # kg/m³, from memory

GAUGES = range(10, 45)


def diameter(gauge: int) -> float:
    """Bare diameter in m of an AWG wire (formula of ASTM B258, from memory). Raises UsageError."""
    if gauge not in GAUGES:
        raise UsageError(f"wire gauge {gauge} is outside AWG {GAUGES[0]} to {GAUGES[-1]}")
    inches: float = 0.005 * 92 ** ((36 - gauge) / 39)
    return inches * 0.0254


def area(gauge: int) -> float:
    """Bare cross-section in m²."""
    return math.pi / 4 * diameter(gauge) ** 2


def ohms_per_metre(gauge: int) -> float:
    """Resistance in Ω/m at 20 °C."""
    return RHO_20 / area(gauge)


def winding_ohms(turns: float, mean_turn: float, gauge: int) -> float:
    """Resistance in Ω at 20 °C of `turns` turns of `mean_turn` m each."""
    return turns * mean_turn * ohms_per_metre(gauge)


def at(celsius: float) -> float:
    """A copper resistance at `celsius` relative to its value at 20 °C."""
    return 1 + ALPHA_20 * (celsius - 20)


def heat_of_winding(ohms_20: float, gauge: int) -> float:
    """Heat capacity in J/K of a winding's copper, from its resistance at 20 °C and its gauge."""
    length = ohms_20 / ohms_per_metre(gauge)
    return HEAT * area(gauge) * length


def heat_of_mass(kilograms: float) -> float:
    """Heat capacity in J/K of this mass of copper."""
    return HEAT * kilograms / DENSITY
