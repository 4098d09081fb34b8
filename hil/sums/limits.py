"""Limits a wiring table and a governor can use, derived from one drive's sums."""

import math
from dataclasses import dataclass

from hil.sums import copper
from hil.sums.drive import Drive
from hil.sums.sizing import HIGH, STRETCH, Sums

MOST_LONGEST = 1.0  # s: no pulsed coil needs to be on longer, whatever its copper would bear

SHARE = 0.85  # of what heat allows: the saw of single pulses must fit below the limit too


@dataclass(frozen=True)
class Limits:
    """Milliseconds, and a leaky budget: `bucket_ms` of on-time, refilled by `leak_permille` of all time."""

    longest_ms: int
    rest_ms: int
    bucket_ms: int
    leak_permille: int


def derive(drive: Drive, sums: Sums) -> Limits | None:
    """Limits at high mains; None while the copper's heat is unknown.

    The longest on-time is half of what a settled, warm winding bears: after a reset, when its heat
    is forgotten, a second such time may follow at once. The rest keeps the mean within the leak.
    """
    if sums.permitted is None or sums.permitted_cold is None:
        return None
    longest = min(MOST_LONGEST, sums.permitted * STRETCH)
    leak = math.floor(sums.duty * SHARE * 1000)
    rest = drive.pulse * (1 / max(sums.duty * SHARE, 1e-6) - 1)
    bucket = max(0.0, sums.permitted_cold * SHARE - drive.pulse) * 1000
    return Limits(math.floor(longest * 1000), math.ceil(rest * 1000), math.floor(bucket), leak)


def simulate(drive: Drive, limits: Limits, seconds: float, step: float = 0.001) -> float:
    """Highest °C of a winding that is driven whenever the bucket allows: the proof of the budget.

    One thermal mass, cooling to ambient, high mains, resistance growing with heat.
    """
    warm = highest = drive.ambient
    room = limits.bucket_ms / 1000
    resting = False
    volts = drive.feed.volts * HIGH
    for _ in range(int(seconds / step)):
        resting = room < step or (resting and room < drive.pulse)
        on = not resting
        ohms = drive.ohms * copper.at(warm)
        watts = volts * volts / ohms if on else 0.0
        warm += (watts - (warm - drive.ambient) * drive.cooling) * step / drive.copper_heat
        highest = max(highest, warm)
        room = min(limits.bucket_ms / 1000, room + step * limits.leak_permille / 1000 - (step if on else 0))
    return highest
