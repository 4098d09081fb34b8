"""The on-time stage of a drive: an edge passes C1, R5 takes it away, and a Schmitt buffer ends the pulse.

V(t) = leak·R + (V₀ − leak·R)·e^(−t/RC) (an RC circuit's closed form); the pulse ends at the buffer's
threshold. Figures of the buffer and the capacitor are from memory: check the data sheet of what you buy.
"""

import math
from dataclasses import dataclass

FARADS = 1e-6
SPREAD = (0.75, 1.12)  # of R·C: X7R with its bias and age, resistor 1 %
FALLS = (1.1, 2.0)  # V at which a 74LVC1G17 at 5 V goes low again
LEAK = 1e-6  # A into or out of its input, warm; a buffer of 5 µA would hold the larger resistors' line up
RAIL = (4.75, 5.25)  # V
CLASSES = ((0.060, 100e3), (0.120, 200e3), (0.250, 470e3))  # longest on-time in s, and the resistor for it
LINK = "a link in place of C1"


@dataclass(frozen=True)
class Stage:
    """The stage of one drive: R5 in Ω, and s after which it ends a pulse, least and most; 0 Ω: a link."""

    ohms: float = 0.0
    least: float = 0.0
    most: float = math.inf

    def __str__(self) -> str:
        return f"{self.ohms / 1e3:g} kΩ" if self.ohms else LINK

    @property
    def words(self) -> str:
        """The value and what it passes, such as: 200 kΩ, ends a pulse after 122 to 386 ms."""
        if not self.ohms:
            return f"{self}, ends nothing"
        return f"{self}, ends a pulse after {self.least * 1e3:.0f} to {self.most * 1e3:.0f} ms"


def passes(ohms: float) -> tuple[float, float]:
    """Shortest and longest pulse in s that a stage with `ohms` passes; infinite when leakage holds it on."""
    tau = ohms * FARADS
    drop = LEAK * ohms
    least = tau * SPREAD[0] * math.log((RAIL[0] + drop) / (FALLS[1] + drop))
    if drop >= FALLS[0]:
        return least, math.inf
    return least, tau * SPREAD[1] * math.log((RAIL[1] - drop) / (FALLS[0] - drop))


STAGES = tuple(Stage(ohms, *passes(ohms)) for _longest, ohms in CLASSES)


def choose(seconds: float, stays_on: bool = False) -> Stage | None:
    """The stage with the smallest resistor that passes a pulse of `seconds`; None: no value does.

    A load that `stays_on`, since it bears that for ever, has a link where no resistor passes it; one whose
    `seconds` are 0 too has the link at once.
    """
    if stays_on and not seconds:
        return Stage()
    found = next((stage for stage in STAGES if stage.least >= seconds), None)
    return found or (Stage() if stays_on else None)


def too_long(name: str, seconds: float) -> str:
    """The sentence about a coil that is on for longer than any stage passes."""
    last = STAGES[-1]
    return (
        f"coil '{name}' may be on for {seconds * 1e3:g} ms; its drive's on-time stage passes"
        f" {last.least * 1e3:.0f} ms at most (R5 of {last}), so it would be cut: shorten it, or declare the"
        " watts that the load bears for ever"
    )
