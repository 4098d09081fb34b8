"""The calculated values of one drive: currents, heat, limits, stress and fuse."""

import math
from dataclasses import dataclass

from hil.electrical.sums import clamp, copper, current, fuse, heat, supply, track
from hil.electrical.sums.current import Ripple
from hil.electrical.sums.drive import Drive

STRETCH = 0.5  # of the permitted on-time: the winding counts as half used up (a reset forgets heat)
LOW = 0.9  # of the nominal volts: least mains
HIGH = 1.1


@dataclass(frozen=True)
class Sums:
    """Calculated values in SI units and °C; None where the input does not determine one."""

    peak: float  # A at the end of the pulse
    settled: float  # A when it stays on, cold
    hold: Ripple | None
    release: float | None  # s to a tenth of the peak
    stored: float | None  # J
    clamp_joules: float | None
    clamp_watts: float | None
    drain_peak: float
    switch_watts: float  # mean, in the switch
    pulse_joules: float  # drawn from the supply in one pulse, less what the source takes
    mean_watts: float  # in the winding, pulses at the given period or the hold
    settled_celsius: float
    pulse_kelvin: float | None
    permitted: float | None  # s locked on, from settled heat to the class limit, mains high
    permitted_cold: float | None  # s from ambient
    duty: float  # the part of the time it may be on for ever
    fuse_opens: float | None  # s
    locked_celsius: float | None  # when the fuse has opened
    track_mm: float
    dip: float  # V at the coils with `beside` on too


def work_out(drive: Drive) -> Sums:
    """Calculate every value for one drive."""
    volts = drive.feed.peak
    settled = volts / drive.driven.ohms
    peak = settled if drive.forever else current.rise(volts, drive.driven, drive.pulse)
    hold = _hold(drive)
    joules = _pulse_joules(drive)
    watts = _mean_watts(drive, hold, joules)
    warm = drive.ambient + watts / drive.cooling
    opens = None if drive.fuse is None else fuse.opening(drive.fuse, lambda s: least_current(drive, s))
    effective = hold.effective if hold else math.sqrt(watts / drive.ohms)
    return Sums(
        peak=peak,
        settled=settled,
        hold=hold,
        release=_release(drive, peak),
        stored=clamp.stored(peak, drive.henries) if drive.henries else None,
        clamp_joules=_clamp_joules(drive, peak),
        clamp_watts=_clamp_watts(drive, peak),
        drain_peak=_drain_peak(drive),
        switch_watts=watts * drive.on_ohms / drive.ohms,
        pulse_joules=joules,
        mean_watts=watts,
        settled_celsius=warm,
        pulse_kelvin=joules / drive.copper_heat if drive.copper_heat else None,
        permitted=_permitted(drive, warm),
        permitted_cold=_permitted(drive, drive.ambient),
        duty=_duty(drive),
        fuse_opens=opens,
        locked_celsius=_locked(drive, warm, opens),
        track_mm=track.width_mm(max(effective, 0.1)),
        dip=supply.dip(drive.feed.volts, drive.feed.source, (drive.ohms, *drive.beside)),
    )


def least_current(drive: Drive, seconds: float) -> float:
    """Current in A of a coil locked on after `seconds`: low mains, warm winding, the supply's own limit."""
    volts = drive.feed.volts * LOW
    warm = drive.ambient
    if drive.copper_heat:
        high = drive.feed.volts * HIGH
        warm = heat.warm(high, drive.ohms, drive.copper_heat, seconds, _start(drive), drive.feed.source)
    ohms = drive.ohms * copper.at(warm)
    return drive.feed.given(volts / (ohms + drive.feed.source + drive.on_ohms))


def _start(drive: Drive) -> float:
    joules = _pulse_joules(drive)
    return drive.ambient + _mean_watts(drive, _hold(drive), joules) / drive.cooling


def _hold(drive: Drive) -> Ripple | None:
    if drive.hold is None or not drive.henries:
        return None
    return current.pwm(drive.feed.volts, drive.free, drive.hold.duty, drive.hold.hertz, drive.back)


def _pulse_joules(drive: Drive) -> float:
    """Heat of one pulse in the winding: while on, and while the clamp lets the current die."""
    if drive.forever:
        return 0.0
    peak = current.rise(drive.feed.volts, drive.driven, drive.pulse)
    squares = current.squares_rise(drive.feed.volts, drive.driven, drive.pulse)
    return drive.ohms * (squares + current.squares_fall(peak, drive.back, drive.free))


def _mean_watts(drive: Drive, hold: Ripple | None, joules: float) -> float:
    if drive.forever:  # nothing ends it, so at high mains
        return (drive.feed.volts * HIGH / drive.driven.ohms) ** 2 * drive.ohms
    if hold:
        return hold.effective**2 * drive.ohms
    if drive.hold:
        return (drive.hold.duty * drive.feed.volts / drive.ohms) ** 2 * drive.ohms
    return joules / drive.period


def _release(drive: Drive, peak: float) -> float | None:
    return current.release(peak, drive.back, drive.free, peak / 10) if drive.henries else None


def _clamp_joules(drive: Drive, peak: float) -> float | None:
    if not drive.henries:
        return None
    if drive.clamp == "none":
        return clamp.avalanche_energy(peak, drive.rating, drive.feed.peak, drive.free)
    return drive.back * current.charge(peak, drive.back, drive.free)


def _clamp_watts(drive: Drive, peak: float) -> float | None:
    joules = _clamp_joules(drive, peak)
    if joules is None or drive.forever:
        return None
    if drive.hold and (hold := _hold(drive)):
        return hold.mean * (1 - drive.hold.duty) * drive.back
    return joules / drive.period


def _drain_peak(drive: Drive) -> float:
    if drive.clamp == "none":
        return drive.rating
    return clamp.drain_peak(drive.feed.peak * HIGH, drive.back)


def _permitted(drive: Drive, start: float) -> float | None:
    if not drive.copper_heat:
        return None
    if start >= drive.limit:
        return 0.0
    high = drive.feed.volts * HIGH
    return heat.seconds_at_voltage(high, drive.ohms, drive.copper_heat, start, drive.limit)


def _duty(drive: Drive) -> float:
    """At the class limit, high mains: what the cooling carries away against what the coil takes."""
    if drive.bears:
        return min(1.0, drive.bears / locked_watts(drive))
    hot = drive.ohms * copper.at(drive.limit)
    taken = (drive.feed.volts * HIGH) ** 2 / hot
    return min(1.0, heat.hold_watts(drive.cooling, drive.insulation, drive.ambient) / taken)


def locked_watts(drive: Drive) -> float:
    """Power in W of a drive that stays on, cold, at high mains."""
    return (drive.feed.volts * HIGH) ** 2 / drive.ohms


def _locked(drive: Drive, start: float, opens: float | None) -> float | None:
    if opens is None or not drive.copper_heat:
        return None
    high = drive.feed.volts * HIGH
    return heat.warm(high, drive.ohms, drive.copper_heat, opens, start, drive.feed.source)
