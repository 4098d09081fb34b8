"""Plots one drive: current over a pulse, and temperature while locked on."""

from pathlib import Path
from typing import TYPE_CHECKING

from firmware.base.errors import UsageError
from hil.electrical.sums import current, heat
from hil.electrical.sums.drive import Drive
from hil.electrical.sums.sizing import HIGH, Sums

if TYPE_CHECKING:
    from matplotlib.axes import Axes

POINTS = 400


def draw(drive: Drive, sums: Sums, path: Path) -> None:
    """Write the plot as png, svg or pdf, by its suffix. Raises UsageError: no matplotlib, or not writable."""
    try:
        from matplotlib.figure import Figure  # loaded only here: an optional package, and slow to load
    except ImportError:
        raise UsageError("a picture needs matplotlib: pip install 'inlane[sums]'") from None
    figure = Figure(figsize=(8, 7), layout="constrained")
    above, below = figure.subplots(2, 1)
    figure.suptitle(f"{drive.name}: {drive.ohms:g} Ω at {drive.feed.volts:g} V")
    _pulse(above, drive, sums)
    _locked(below, drive, sums)
    try:
        figure.savefig(path, dpi=110)
    except ValueError as error:
        raise UsageError(str(error).split("\n")[0], str(path)) from None
    except OSError as error:
        raise UsageError(str(error.strerror), str(path)) from None


def _pulse(axes: "Axes", drive: Drive, sums: Sums) -> None:
    on = drive.pulse or 0.05
    off = (sums.release or 0) * 2 + on / 5
    on_times = [on * n / POINTS for n in range(POINTS + 1)]
    off_times = [off * n / POINTS for n in range(POINTS + 1)]
    peak = current.rise(drive.feed.peak, drive.driven, on)
    after = [current.fall(peak, drive.back, drive.free, t) if drive.henries else 0.0 for t in off_times]
    axes.plot([t * 1e3 for t in on_times], [current.rise(drive.feed.peak, drive.driven, t) for t in on_times])
    axes.plot([(on + t) * 1e3 for t in off_times], after, linestyle="--")
    axes.axvline(on * 1e3, color="grey", linewidth=0.8)
    axes.annotate("switched off", (on * 1e3, 0), xytext=(-4, 4), textcoords="offset points", ha="right")
    axes.set(xlabel="ms", ylabel="A", title=f"one pulse of {on * 1e3:g} ms, cold", ylim=(0, peak * 1.15))
    axes.grid(alpha=0.3)


def _locked(axes: "Axes", drive: Drive, sums: Sums) -> None:
    if not drive.copper_heat:
        axes.text(0.5, 0.5, "heat: give the wire gauge or the grams of copper", ha="center")
        axes.set_axis_off()
        return
    start = min(sums.settled_celsius, drive.limit)
    end = max(sums.permitted or 0, sums.fuse_opens or 0, 0.1) * 1.3
    times = [end * n / POINTS for n in range(POINTS + 1)]
    volts = drive.feed.volts * HIGH
    celsius = [heat.warm(volts, drive.ohms, drive.copper_heat, t, start) for t in times]
    axes.plot(times, celsius)
    axes.axhline(drive.limit, color="red", linewidth=0.8)
    axes.annotate(
        f"class {drive.insulation}, {drive.limit:g} °C",
        (end, drive.limit),
        xytext=(-4, 4),
        textcoords="offset points",
        ha="right",
    )
    if sums.fuse_opens is not None:
        axes.axvline(sums.fuse_opens, color="grey", linewidth=0.8)
        axes.annotate(
            f"{drive.fuse} fuse has opened",
            (sums.fuse_opens, min(celsius)),
            xytext=(-4, 4),
            textcoords="offset points",
            ha="right",
        )
    axes.set(xlabel="s", ylabel="°C", title="locked on, from play's heat, mains high, no cooling")
    axes.grid(alpha=0.3)
