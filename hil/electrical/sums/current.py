"""Current in a coil: rise, hold by PWM, release through a diode or a zener; an R–L circuit's closed forms."""

import math
from dataclasses import dataclass

DIODE = 0.7  # V, a silicon diode carrying amperes: common practice


@dataclass(frozen=True)
class Loop:
    """A coil's resistance (Ω) and inductance (H); the resistance includes the supply's own while driven."""

    ohms: float
    henries: float

    @property
    def tau(self) -> float:
        """Time constant in seconds."""
        return self.henries / self.ohms


def rise(volts: float, loop: Loop, seconds: float, start: float = 0.0) -> float:
    """Current in A after `seconds` at `volts`, from `start` A: I∞ + (I₀ − I∞)·e^(−t/τ)."""
    end = volts / loop.ohms
    if not loop.henries:
        return end
    return end + (start - end) * math.exp(-seconds / loop.tau)


def fall(start: float, back: float, loop: Loop, seconds: float) -> float:
    """Current in A `seconds` after switch-off into a clamp of `back` volts; never below 0."""
    return max(0.0, rise(-back, loop, seconds, start))


def release(start: float, back: float, loop: Loop, down_to: float = 0.0) -> float:
    """Seconds until the current has fallen from `start` to `down_to` A against `back` volts."""
    return loop.tau * math.log((start * loop.ohms + back) / (down_to * loop.ohms + back))


def charge(start: float, back: float, loop: Loop) -> float:
    """Charge in C that flows while the current falls to 0 against `back` volts."""
    gone = release(start, back, loop)
    return loop.tau * start - back / loop.ohms * gone


def squares(start: float, end: float, loop: Loop, seconds: float) -> float:
    """∫i² dt in A²s while the current goes from `start` towards `end` amperes."""
    if not loop.henries:
        return end * end * seconds
    once = math.exp(-seconds / loop.tau)
    gap = start - end
    return end * end * seconds + loop.tau * gap * (2 * end * (1 - once) + gap / 2 * (1 - once * once))


def squares_rise(volts: float, loop: Loop, seconds: float) -> float:
    """∫i² dt in A²s of a pulse that starts at 0 A."""
    return squares(0.0, volts / loop.ohms, loop, seconds)


def squares_fall(start: float, back: float, loop: Loop) -> float:
    """∫i² dt in A²s while the current falls to 0 against `back` volts."""
    if not loop.henries:
        return 0.0
    return squares(start, -back / loop.ohms, loop, release(start, back, loop))


@dataclass(frozen=True)
class Ripple:
    """Settled current under PWM in A: peak, valley, mean, and effective (RMS)."""

    peak: float
    valley: float
    mean: float
    effective: float


def pwm(volts: float, loop: Loop, duty: float, hertz: float, back: float = DIODE) -> Ripple:
    """Settled current of a coil driven `duty` (0 … 1) of the time, `back` volts across it in the rest."""
    on = duty / hertz
    off = (1 - duty) / hertz
    decay_on = math.exp(-on / loop.tau)
    decay_off = math.exp(-off / loop.tau)
    end = volts / loop.ohms
    floor = back / loop.ohms
    peak = (end * (1 - decay_on) - decay_on * floor * (1 - decay_off)) / (1 - decay_on * decay_off)
    valley = (peak + floor) * decay_off - floor
    if valley > 0:
        mean = duty * end - (1 - duty) * floor
        area = squares(valley, end, loop, on) + squares(peak, -floor, loop, off)
    else:
        valley = 0.0
        peak = end * (1 - decay_on)
        mean = (end * on - loop.tau * peak + charge(peak, back, loop)) * hertz
        area = squares(0.0, end, loop, on) + squares_fall(peak, back, loop)
    return Ripple(peak, valley, mean, math.sqrt(area * hertz))
