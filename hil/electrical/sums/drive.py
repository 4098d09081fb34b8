"""One coil with its clamp, fuse and supply: the input of the calculations."""

from dataclasses import dataclass, field
from functools import cached_property

from firmware.base.errors import UsageError
from hil.electrical.sums import copper, fuse, heat, on_time
from hil.electrical.sums.current import DIODE, Loop
from hil.electrical.sums.feed import Feed
from hil.electrical.sums.given import not_negative, positive

__all__ = ("Drive", "Feed", "Hold", "heat_of")

CLAMPS = ("diode", "zener", "none")
AMBIENT = 40.0  # °C inside a closed cabinet: common practice
COOLING = 0.1  # W/K: 100 cm² of coil and bracket at 10 W/(m²·K) in still air, from memory; measure yours


@dataclass(frozen=True)
class Hold:
    """PWM after the strong pulse: duty (0 to 1) and frequency in Hz. Raises UsageError."""

    duty: float
    hertz: float = 1000.0

    def __post_init__(self) -> None:
        if not 0 < self.duty < 1:
            raise UsageError(f"a hold duty of {self.duty * 100:g} % cannot be: give 1 to 99 %")
        positive("hold frequency", self.hertz)


@dataclass(frozen=True)
class Drive:
    """A coil with its surroundings; times in s, resistance in Ω at 20 °C. Raises UsageError."""

    name: str
    ohms: float
    feed: Feed
    pulse: float
    period: float
    henries: float = 0.0  # 0: not known
    copper_heat: float = 0.0  # J/K, 0: not known
    bears: float = 0.0  # W that its maker allows for ever, of a lamp, motor or meter; 0: it is a winding
    insulation: str = "A"
    clamp: str = "diode"
    zener: float = 0.0  # V at the peak current
    rating: float = 100.0  # V, drain-source
    on_ohms: float = 0.1  # Ω of the switch when hot
    fuse: "fuse.Fuse | None" = None
    longest: float = 0.0  # s, the limit in the wiring table; 0: may stay on
    forever: bool = False
    hold: Hold | None = None
    ambient: float = AMBIENT
    cooling: float = COOLING
    beside: tuple[float, ...] = field(default=())  # Ω of coils that fire with it

    def __post_init__(self) -> None:
        positive("coil resistance", self.ohms)
        positive("cooling", self.cooling)
        positive("MOSFET rating", self.rating)
        not_negative("inductance", self.henries)
        not_negative("heat capacity", self.copper_heat)
        not_negative("watts borne for ever", self.bears)
        not_negative("longest on-time", self.longest)
        not_negative("cabinet temperature", self.ambient)
        if not self.forever:
            positive("pulse", self.pulse)
            positive("period", self.period)
            if self.period <= self.pulse:
                raise UsageError(
                    f"coil '{self.name}' is to pulse {self.pulse * 1e3:g} ms every {self.period * 1e3:g} ms;"
                    " the period must be longer than the pulse"
                )
        if self.clamp not in CLAMPS:
            raise UsageError(f"clamp '{self.clamp}' is not one of {', '.join(CLAMPS)}")
        if self.clamp == "zener":
            positive("zener voltage", self.zener)
        heat.highest(self.insulation)

    @property
    def back(self) -> float:
        """Voltage in V against the current after switch-off; without a clamp, from the MOSFET's breakdown."""
        if self.clamp == "zener":
            return self.zener + DIODE
        if self.clamp == "none":
            return max(1.0, self.rating - self.feed.peak)
        return DIODE

    @cached_property
    def driven(self) -> Loop:
        """The loop while the switch is on."""
        return Loop(self.ohms + self.feed.source + self.on_ohms, self.henries)

    @cached_property
    def free(self) -> Loop:
        """The loop while the clamp conducts."""
        return Loop(self.ohms, self.henries)

    @property
    def on_for(self) -> float:
        """Longest time in s that it is on in one go, by its pulse and its table; 0: for as long as asked.

        A coil held by PWM is off once in each period; what it holds after is another drive's pulse.
        """
        return self.longest if self.hold else max(self.pulse, self.longest)

    @property
    def stage(self) -> "on_time.Stage | None":
        """The on-time stage that its drive needs; None: there is none that passes its pulse."""
        stays_on = self.forever or bool(self.bears)
        return on_time.choose(0.0 if self.forever else self.on_for, stays_on)

    @property
    def limit(self) -> float:
        """°C the insulation class allows."""
        return heat.highest(self.insulation)


def heat_of(ohms: float, gauge: int | None, grams: float | None) -> float:
    """Heat capacity of the copper in J/K from gauge or mass; 0 when neither is known."""
    if grams:
        return copper.heat_of_mass(grams / 1000)
    return copper.heat_of_winding(ohms, gauge) if gauge else 0.0
