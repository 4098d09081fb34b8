"""Energy and voltage in switch and clamp when a coil is switched off."""

from hil.electrical.sums.current import Loop, charge

MARGIN = 0.8  # drain peaks stay below this part of the MOSFET's rating: common practice


def stored(amperes: float, henries: float) -> float:
    """Energy stored in a coil in J: ½LI²."""
    return henries * amperes * amperes / 2


def zener_energy(amperes: float, zener: float, loop: Loop) -> float:
    """Energy in J that a zener to the supply takes in one release; the winding takes the rest."""
    return zener * charge(amperes, zener, loop)


def avalanche_bound(amperes: float, henries: float, breakdown: float, supply: float) -> float:
    """Most energy in J that a MOSFET without clamp takes: ½LI²·Vbr/(Vbr−Vdd) (a device maker's FAQ).

    An upper bound: the loss in the winding's resistance is left out.
    """
    return stored(amperes, henries) * breakdown / (breakdown - supply)


def avalanche_energy(amperes: float, breakdown: float, supply: float, loop: Loop) -> float:
    """Energy in J that it takes with the loss in the winding's resistance."""
    return breakdown * charge(amperes, breakdown - supply, loop)


def drain_peak(supply: float, clamp: float) -> float:
    """Voltage at the drain while a clamp to the supply conducts."""
    return supply + clamp
