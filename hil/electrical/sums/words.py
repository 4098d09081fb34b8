"""The calculated values as rows of text, and as plain data for JSON."""

from dataclasses import asdict

from hil.electrical.sums.drive import Drive
from hil.electrical.sums.findings import Finding, choose_fuse
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.sizing import Sums

UNKNOWN = "unknown"


def rows(drive: Drive, sums: Sums) -> list[tuple[str, str]]:
    """Every value as (what, how much)."""
    return [
        ("resistance at 20 °C", f"{drive.ohms:.2f} Ω"),
        ("current, settled and cold", f"{sums.settled:.2f} A"),
        *_times(drive, sums),
        ("drain, at high mains", f"{sums.drain_peak:.1f} V"),
        ("energy stored", _or_unknown(sums.stored, "J", 3, "inductance")),
        ("energy in the clamp, each time", _or_unknown(sums.clamp_joules, "J", 3, "inductance")),
        ("clamp on the mean", _or_unknown(sums.clamp_watts, "W", 2, "inductance")),
        ("switch on the mean", f"{sums.switch_watts:.2f} W"),
        ("winding on the mean", f"{sums.mean_watts:.2f} W"),
        ("winding settles at", f"{sums.settled_celsius:.0f} °C of {drive.limit:g} °C"),
        ("each pulse warms it by", _or_unknown(sums.pulse_kelvin, "K", 2, "copper")),
        ("locked on, bears from cold", _or_unknown(sums.permitted_cold, "s", 2, "copper")),
        ("locked on, bears from warm", _or_unknown(sums.permitted, "s", 2, "copper")),
        ("on for ever, part of the time", f"{sums.duty * 100:.1f} %"),
        *_protection(drive, sums),
        (
            "R5 of its drive's on-time stage",
            drive.stage.words if drive.stage else "no value passes its pulse",
        ),
        ("track, outer, 1 oz, 10 K", f"{sums.track_mm:.2f} mm"),
        ("volts left at the coils", f"{sums.dip:.1f} V"),
    ]


def _times(drive: Drive, sums: Sums) -> list[tuple[str, str]]:
    found = []
    if not drive.forever:
        found += [
            (f"current after {drive.pulse * 1e3:g} ms", f"{sums.peak:.2f} A"),
            ("down to a tenth of it after", _or_unknown(_ms(sums.release), "ms", 2, "inductance")),
        ]
    if sums.hold:
        found += [
            ("hold current, mean", f"{sums.hold.mean:.3f} A"),
            ("hold current, from and to", f"{sums.hold.valley:.3f} to {sums.hold.peak:.3f} A"),
        ]
    return found


def _protection(drive: Drive, sums: Sums) -> list[tuple[str, str]]:
    found = []
    if drive.fuse:
        opens = f"within {sums.fuse_opens:g} s" if sums.fuse_opens is not None else "not promised"
        found.append((f"{drive.fuse} fuse opens when locked on", opens))
        if sums.locked_celsius is not None:
            found.append(("the winding is by then at", f"{sums.locked_celsius:.0f} °C"))
    if not drive.forever and drive.copper_heat:
        best = choose_fuse(drive)
        found.append(("greatest fuse that protects it", str(best) if best else "none of the usual"))
    return found


def budget(limits: Limits) -> list[tuple[str, str]]:
    """The limits for a wiring table as (what, how much)."""
    return [
        ("longest on-time", f"{limits.longest_ms} ms" if limits.longest_ms else "none: it bears no pulse"),
        ("mean rest after its pulse", f"{limits.rest_ms} ms"),
        ("heat budget", f"{limits.bucket_ms} ms of on-time"),
        ("budget comes back", f"{limits.leak_permille} ms each second"),
    ]


def data(drive: Drive, sums: Sums, limits: Limits | None, findings: list[Finding]) -> dict[str, object]:
    """Everything as plain data in SI units and °C."""
    return {
        "coil": drive.name,
        "on_time_stage": _stage(drive),
        "sums": asdict(sums),
        "limits": asdict(limits) if limits else None,
        "findings": [asdict(finding) for finding in findings],
    }


def _stage(drive: Drive) -> dict[str, float | None] | None:
    """R5 in Ω (0: a link for C1) and the s that it passes, least and most (None: for ever)."""
    if drive.stage is None:
        return None
    most = drive.stage.most if drive.stage.ohms else None
    return {"ohms": drive.stage.ohms, "least": drive.stage.least, "most": most}


def _or_unknown(value: float | None, unit: str, digits: int, needed: str) -> str:
    return f"{UNKNOWN} without the {needed}" if value is None else f"{value:.{digits}f} {unit}"


def _ms(seconds: float | None) -> float | None:
    return None if seconds is None else seconds * 1e3
