"""Findings about a drive, from its calculated values: refusals, warnings, notes."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from hil.electrical.sums import clamp, fuse, on_time, supply
from hil.electrical.sums.declared import lacking, stays_off
from hil.electrical.sums.drive import Drive, Feed
from hil.electrical.sums.sizing import HIGH, LOW, Sums, locked_watts, work_out

REFUSED = "refused"
WARNING = "warning"
NOTE = "note"
LEAST_COILS_VOLTS = 0.7  # of nominal: below it coils grow weak and drop out, common practice
MOST_AMPERES = 24.0  # of a drive: what the MOSFETs of the reference circuit carry


@dataclass(frozen=True)
class Finding:
    """One sentence with its weight: REFUSED, WARNING or NOTE."""

    weight: str
    text: str

    def __str__(self) -> str:
        return f"{self.weight}: {self.text}"


def judge(drive: Drive, sums: Sums) -> list[Finding]:
    """Every finding, refusals first; of a short that alone, since nothing else is worth judging."""
    short = list(_short(drive))
    if short:
        return short
    found = [
        *_declared(drive),
        *_supply(drive),
        *_clamp(drive, sums),
        *_heat(drive, sums),
        *_staged(drive),
        *_fuse(drive, sums),
        *_dip(drive, sums),
    ]
    order = (REFUSED, WARNING, NOTE)
    return sorted(found, key=lambda finding: order.index(finding.weight))


def _declared(drive: Drive) -> Iterator[Finding]:
    """What is not known of the load."""
    missing = lacking(drive.ohms, bool(drive.copper_heat or drive.bears), drive.fuse is not None)
    if missing:
        yield Finding(REFUSED, stays_off(drive.name, missing))


def _short(drive: Drive) -> Iterator[Finding]:
    """A current that no drive switches."""
    amperes = drive.feed.peak / drive.driven.ohms
    if amperes > MOST_AMPERES:
        yield Finding(
            REFUSED,
            f"coil '{drive.name}' of {drive.ohms:g} Ω draws {amperes:.0f} A; a drive switches"
            f" {MOST_AMPERES:g} A, and so few ohms are a short: measure again",
        )


def _supply(drive: Drive) -> Iterator[Finding]:
    volts = drive.feed.volts
    if not drive.feed.isolated:
        yield Finding(
            WARNING if drive.feed.guarded else REFUSED,
            "a supply whose insulation from the mains is unknown is dangerous at any voltage:"
            " replace it, or treat"
            f" it as live mains with covers, interlock and signs{_done(drive)}",
        )
    edge = supply.TOUCH_DC if drive.feed.smoothed else supply.TOUCH_AC
    if supply.hazardous(volts * HIGH, drive.feed.smoothed):
        text = (
            f"the supply of {drive.feed} can reach {volts * HIGH:.0f} V, above the {edge:g} V that"
            " may be touched: it needs covers, a door interlock, a discharge resistor and warning signs"
        )
        yield Finding(WARNING if drive.feed.guarded else REFUSED, text + _done(drive))
    elif volts * HIGH >= supply.GUARD_AT:
        yield Finding(NOTE, f"at {volts * HIGH:.0f} V live parts are to be covered (from 50 V)")
    if not drive.feed.smoothed:
        yield with_reservoir(drive.feed)


def with_reservoir(feed: Feed) -> Finding:
    """What a reservoir makes of an unsmoothed supply; a warning when nobody may touch it then."""
    then = feed.with_reservoir()
    high = then.volts * HIGH
    text = (
        f"a reservoir raises the supply of {feed} to {then.volts:.0f} V DC, {high:.0f} V at high mains, and"
        f" what a coil takes locked on to {(then.volts / feed.volts) ** 2:.0f} times as much: judge all"
        " coils again with those volts"
    )
    if supply.hazardous(high):
        return Finding(WARNING, f"{text}; it passes the {supply.TOUCH_DC:g} V that may be touched")
    return Finding(NOTE, text)


def _done(drive: Drive) -> str:
    return " (declared as done)" if drive.feed.guarded else "; declare them when they are there"


def _clamp(drive: Drive, sums: Sums) -> Iterator[Finding]:
    if drive.hold and drive.clamp != "diode":
        held = f"; its current falls to {sums.hold.mean:.2f} A" if sums.hold else ""
        yield Finding(
            REFUSED,
            f"coil '{drive.name}' is held by PWM with "
            + ("a zener clamp" if drive.clamp == "zener" else "no clamp")
            + f", so that nothing holds{held}: use a plain fast diode",
        )
    elif drive.clamp == "none":
        yield Finding(
            REFUSED, f"coil '{drive.name}' has no clamp: each release drives the MOSFET into breakdown"
        )
    elif drive.rating < sums.drain_peak / clamp.MARGIN:
        yield Finding(
            REFUSED,
            f"the drain reaches {sums.drain_peak:.0f} V; a {drive.rating:g} V MOSFET leaves too little"
            f" margin, take at least {sums.drain_peak / clamp.MARGIN:.0f} V",
        )
    elif drive.clamp == "diode" and not drive.hold and sums.release and sums.release > 0.010:
        yield Finding(
            WARNING,
            f"with a plain diode the coil lets go {sums.release * 1e3:.0f} ms after switch-off;"
            " a diode and a zener are quicker",
        )


def _heat(drive: Drive, sums: Sums) -> Iterator[Finding]:
    if drive.bears:
        yield from _borne(drive)
        return
    if sums.settled_celsius > drive.limit:
        yield Finding(
            REFUSED,
            f"coil '{drive.name}' takes {sums.mean_watts:.1f} W on the mean and would settle at"
            f" {sums.settled_celsius:.0f} °C, above the {drive.limit:g} °C of class {drive.insulation}",
        )
    elif sums.permitted is not None and not drive.forever and drive.pulse > sums.permitted:
        yield Finding(
            REFUSED,
            f"a pulse of {drive.pulse * 1e3:g} ms is longer than the {sums.permitted * 1e3:.0f} ms"
            f" the warm winding of coil '{drive.name}' bears",
        )
    elif sums.permitted is not None and drive.longest > sums.permitted:
        yield Finding(
            REFUSED,
            f"coil '{drive.name}' may be on {drive.longest * 1e3:g} ms by its table;"
            f" its winding bears {sums.permitted * 1e3:.0f} ms",
        )


def _staged(drive: Drive) -> Iterator[Finding]:
    """A pulse that the drive's on-time stage would cut, whatever R5 it has."""
    if drive.stage is None:
        yield Finding(REFUSED, on_time.too_long(drive.name, drive.on_for))


def _borne(drive: Drive) -> Iterator[Finding]:
    watts = locked_watts(drive)
    if watts > drive.bears:
        yield Finding(
            REFUSED,
            f"load '{drive.name}' takes {watts:.1f} W locked on at high mains; it bears {drive.bears:g} W",
        )


def _fuse(drive: Drive, sums: Sums) -> Iterator[Finding]:
    if drive.fuse is None:
        return
    if not drive.forever and not drive.bears:
        yield from _opens(drive, drive.fuse, sums)
    yield from _bears(drive, drive.fuse, sums)


def _opens(drive: Drive, chosen: fuse.Fuse, sums: Sums) -> Iterator[Finding]:
    least = drive.feed.given(drive.feed.volts * LOW / drive.driven.ohms)
    if sums.fuse_opens is None:
        yield Finding(
            REFUSED,
            f"a {chosen} fuse is not promised to open: coil '{drive.name}' locked on draws {least:.1f} A at"
            f" low mains{_limited(drive)}, falling as it warms, {least / chosen.amperes:.1f} times the fuse",
        )
    elif sums.locked_celsius is not None and sums.locked_celsius > drive.limit:
        yield Finding(
            REFUSED,
            f"a {chosen} fuse may take {sums.fuse_opens:g} s to open on coil '{drive.name}' locked on, which"
            f" by then is at {_shown(sums.locked_celsius)}, above the {drive.limit:g} °C of class"
            f" {drive.insulation}",
        )


def _limited(drive: Drive) -> str:
    """Whether the supply's own limit is what keeps the fuse from opening."""
    free = drive.feed.volts * LOW / drive.driven.ohms
    return f" (all that the supply gives, of {free:.1f} A)" if drive.feed.given(free) < free else ""


def _bears(drive: Drive, chosen: fuse.Fuse, sums: Sums) -> Iterator[Finding]:
    mean = (sums.mean_watts / drive.ohms) ** 0.5
    squares = sums.pulse_joules / drive.ohms
    if mean > chosen.amperes:
        yield Finding(
            WARNING, f"a {chosen} fuse carries {mean:.1f} A effective in ordinary play and may open"
        )
    elif squares > chosen.certain_squares():
        yield Finding(
            WARNING,
            f"one pulse is {squares:.2g} A²s; a {chosen} fuse surely bears {chosen.certain_squares():.2g}",
        )


def _dip(drive: Drive, sums: Sums) -> Iterator[Finding]:
    if sums.dip < drive.feed.volts * LEAST_COILS_VOLTS:
        yield Finding(
            WARNING,
            f"with {1 + len(drive.beside)} coil{'s' * bool(drive.beside)} on, the supply of"
            f" {drive.feed.volts:g} V falls to"
            f" {sums.dip:.0f} V",
        )


def _shown(celsius: float) -> str:
    return f"{celsius:.0f} °C" if celsius < 400 else "more than 400 °C"


def choose_fuse(drive: Drive) -> "fuse.Fuse | None":
    """The greatest fuse that opens before this coil, locked on, overheats, and that bears ordinary play."""
    for kind in (fuse.SLOW, fuse.FAST):
        for rating in sorted(fuse.RATINGS, reverse=True):
            chosen = fuse.Fuse(kind, rating)
            sums = work_out(replace(drive, fuse=chosen))
            if not [*_opens(drive, chosen, sums), *_bears(drive, chosen, sums)]:
                return chosen
    return None
