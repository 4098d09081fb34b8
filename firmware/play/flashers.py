"""Flashers: lamps on drives, pulsed; none flashes faster than a lamp may blink, whoever pulses it."""

from firmware.base.ticks import MASK

CALM = 400  # ms from one flash to the next at least: 2.5 a second
QUICK = 250  # while the setting calm_lamps is off: 4 a second


class Flashers:
    """Every flasher of one machine, each with one handle, which features share."""

    def __init__(self, coils: "CoilQueue", lamps: "Claims", trace: "Trace") -> None:
        self.lamps = lamps
        self.trace = trace
        self._coils = coils
        self._all: list[Flasher] = []

    def flasher(self, name: "CoilName", who: str = "") -> "Flasher":
        """The handle on the flasher called `name`. Raises GameError with the near miss."""
        handle = self._coils.coil(name, who)
        for flasher in self._all:
            if flasher.coil == handle.coil:
                return flasher
        flasher = Flasher(self, handle)
        self._all.append(flasher)
        return flasher


class Flasher:
    """The handle on one flasher."""

    def __init__(self, flashers: Flashers, handle: "CoilHandle") -> None:
        self.coil = handle.coil
        self._flashers = flashers
        self._handle = handle
        self._flashed_at = -CALM

    def pulse(self) -> bool:
        """Request its usual pulse, unless the last one is too short a time ago; whether it was requested."""
        flashers = self._flashers
        now = flashers.trace.now
        if (now - self._flashed_at) & MASK < (CALM if flashers.lamps.calm else QUICK):
            return False
        self._flashed_at = now
        self._handle.pulse()
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.base.trace import Trace
    from firmware.play.claims import Claims
    from firmware.play.name_types import CoilName
    from firmware.play.requests import CoilHandle, CoilQueue
