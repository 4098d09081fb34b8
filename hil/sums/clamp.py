"""What the switch and the clamp must bear when a coil is switched off."""

from hil.sums.current import DIODE, Loop, charge

MARGIN = 0.8  # drain peaks stay below this part of the MOSFET's rating: common practice


def stored(amperes: float, henries: float) -> float:
    """Joules in the coil: ½LI²."""
    return henries * amperes * amperes / 2


def zener_energy(amperes: float, zener: float, loop: Loop) -> float:
    """Joules a zener to the supply takes in one release; the winding takes the rest."""
    return zener * charge(amperes, zener, loop)


def diode_energy(amperes: float, back: float, loop: Loop, drop: float = DIODE) -> float:
    """Joules the clamp's diode takes in one release against `back` volts in all."""
    return drop * charge(amperes, back, loop)


def avalanche_bound(amperes: float, henries: float, breakdown: float, supply: float) -> float:
    """Joules a MOSFET without any clamp takes at most: ½LI²·Vbr/(Vbr−Vdd) (a device maker's FAQ).

    An upper bound: it leaves out what the winding's resistance takes.
    """
    return stored(amperes, henries) * breakdown / (breakdown - supply)


def avalanche_energy(amperes: float, breakdown: float, supply: float, loop: Loop) -> float:
    """Joules it really takes, the winding's resistance counted."""
    return breakdown * charge(amperes, breakdown - supply, loop)


def drain_peak(supply: float, clamp: float) -> float:
    """Volts at the drain while a clamp to the supply conducts."""
    return supply + clamp


def least_rating(supply: float, clamp: float) -> float:
    """The least drain-source rating for that peak, in volts."""
    return drain_peak(supply, clamp) / MARGIN
