"""What a fault current meets on its way: tracks, the fuse that is to open first, a reservoir."""

import math

from hil.electrical.sums import heat, track

OUNCE_MM = 0.035  # thickness of 1 oz/ft² copper
TRACK_LIMIT = 160.0  # °C that laminate and solder bear once (common practice, no source)
AMBIENT = 40.0


def reservoir_squares(volts: float, farads: float, ohms: float) -> float:
    """∫i² dt in A²s of a capacitor that empties through `ohms`: C·V²/(2·R)."""
    return farads * volts * volts / (2 * ohms)


def width_for(squares: float, ounces: float = 1.0) -> float:
    """Width in mm of a track that bears `squares` A²s without loss (IEC 60364-5-54's k, 40 to 160 °C)."""
    return math.sqrt(squares) / heat.k_factor(AMBIENT, TRACK_LIMIT) / (OUNCE_MM * ounces)


def melts_after(amperes: float, width_mm: float, ounces: float = 1.0) -> float:
    """Seconds in which a track melts by Onderdonk's formula (from memory), from 40 °C."""
    circular_mils = width_mm * OUNCE_MM * ounces / (math.pi / 4 * 0.0254**2)
    melting = 1083.0
    seconds: float = (
        (circular_mils / amperes) ** 2 * math.log10((melting - AMBIENT) / (234 + AMBIENT) + 1) / 33
    )
    return seconds


def widest(squares: float, amperes: float, ounces: float = 1.0, kelvin: float = 20.0) -> float:
    """Width in mm that bears a fault's `squares` once and `amperes` for ever (IPC-2221, outer layer)."""
    return max(width_for(squares, ounces), track.width_mm(amperes, ounces, kelvin))
