"""Printed tracks: IPC-2221's I = k·ΔT^0.44·A^0.725, A in square mils (read on a secondary page)."""

from firmware.base.errors import UsageError

K = {"outer": 0.048, "inner": 0.024}
MIL_PER_OUNCE = 1.378  # thickness of 1 oz/ft² copper in mils


def amperes(width_mil: float, ounces: float = 1.0, kelvin: float = 10.0, layer: str = "outer") -> float:
    """Current in A that a track carries while it warms by `kelvin`. Raises UsageError: unknown layer."""
    section = width_mil * MIL_PER_OUNCE * ounces
    result: float = _k(layer) * kelvin**0.44 * section**0.725
    return result


def width_mil(current: float, ounces: float = 1.0, kelvin: float = 10.0, layer: str = "outer") -> float:
    """Width in mils for a continuous `current` in A. Raises UsageError: unknown layer."""
    section: float = (current / (_k(layer) * kelvin**0.44)) ** (1 / 0.725)
    return section / (MIL_PER_OUNCE * ounces)


def width_mm(current: float, ounces: float = 1.0, kelvin: float = 10.0, layer: str = "outer") -> float:
    """Width in mm for a continuous `current` in A. Raises UsageError: unknown layer."""
    return width_mil(current, ounces, kelvin, layer) * 0.0254


def _k(layer: str) -> float:
    if layer not in K:
        raise UsageError(f"a track lies on the 'outer' or the 'inner' layer, not on '{layer}'")
    return K[layer]
