"""Limits for the wiring table and the coil limiter, derived from one drive's values."""

import math
from dataclasses import dataclass

from hil.electrical.sums import copper
from hil.electrical.sums.drive import Drive
from hil.electrical.sums.sizing import HIGH, STRETCH, Sums

MOST_LONGEST = 1.0  # s: no pulsed coil needs to be on longer, whatever its copper would bear

SHARE = 0.85  # of what heat allows: the saw of single pulses must fit below the limit too


@dataclass(frozen=True)
class Limits:
    """Limits in ms, and a leaky bucket: `bucket_ms` of on-time, refilled at `leak_permille` of real time."""

    longest_ms: int
    rest_ms: int
    bucket_ms: int
    leak_permille: int


def derive(drive: Drive, sums: Sums) -> Limits | None:
    """Limits at high mains; None when the copper's heat capacity is unknown.

    The longest on-time is half of what a settled, warm winding bears: a reset loses the heat model, and a
    second pulse may follow at once. The rest keeps the mean within the leak.
    """
    if sums.permitted is None or sums.permitted_cold is None:
        return None
    longest = min(MOST_LONGEST, sums.permitted * STRETCH)
    leak = math.floor(sums.duty * SHARE * 1000)
    rest = drive.pulse * (1 / max(sums.duty * SHARE, 1e-6) - 1)
    bucket = max(0.0, sums.permitted_cold * SHARE - drive.pulse) * 1000
    return Limits(math.floor(longest * 1000), math.ceil(rest * 1000), math.floor(bucket), leak)


def simulate(drive: Drive, limits: Limits, seconds: float, step: float = 0.001) -> float:
    """Highest temperature in °C of a winding driven whenever the bucket allows; proves the budget.

    One thermal mass that cools to ambient, high mains, resistance rising with temperature.
    """
    warm = highest = drive.ambient
    room = limits.bucket_ms / 1000
    resting = False
    volts = drive.feed.volts * HIGH  # effective
    for _ in range(int(seconds / step)):
        resting = room < step or (resting and room < drive.pulse)
        on = not resting
        ohms = drive.ohms * copper.at(warm)
        watts = volts * volts / ohms if on else 0.0
        warm += (watts - (warm - drive.ambient) * drive.cooling) * step / drive.copper_heat
        highest = max(highest, warm)
        room = min(limits.bucket_ms / 1000, room + step * limits.leak_permille / 1000 - (step if on else 0))
    return highest
