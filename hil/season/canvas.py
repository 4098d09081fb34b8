"""What every plot is drawn on: a figure of one plot, its scales, and its SVG text."""

import io
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from firmware.base.errors import UsageError
from hil.season.figures import Line
from hil.season.intervals import Interval

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDE = 8.0  # inches
BLUE, GREY, RED = "#2f6690", "#9aa5ad", "#a4161a"
BINS = 40


def new_plot(height: float) -> "tuple[Figure, Axes]":
    """A figure of one plot. Raises UsageError: matplotlib is not there."""
    try:
        from matplotlib.figure import Figure  # loaded only here: an optional package, and slow to load
    except ImportError:
        raise UsageError("a page with plots needs matplotlib: pip install 'inlane[sums]'") from None
    figure = Figure(figsize=(WIDE, height), layout="constrained")
    return figure, figure.subplots()


def svg(figure: "Figure") -> str:
    """A figure as SVG text, without a date."""
    text = io.StringIO()
    figure.savefig(text, format="svg", metadata={"Date": None})
    whole = text.getvalue()
    return whole[whole.index("<svg") :]


def powers(axes: "Axes") -> None:
    """Points along a scale of powers."""
    low, high = axes.get_xlim()
    powers = [
        10**power for power in range(max(0, math.floor(math.log10(low))), math.ceil(math.log10(high)) + 1)
    ]
    ticks = [step * power for power in powers for step in (1, 2, 5) if low <= step * power <= high]
    axes.set_xticks(ticks, [f"{tick:,}" for tick in ticks], rotation=20)
    axes.minorticks_off()


def thousands(axes: "Axes") -> None:
    """Separators along the horizontal axis, and its grid."""
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.grid(axis="x", alpha=0.3)


def errors(lines: Sequence[Line], factor: float) -> tuple[list[float], list[float]]:
    """How far the limits of figures are from their values, times `factor`."""
    below, above = spans([line.interval for line in lines])
    return [x * factor for x in below], [x * factor for x in above]


def spans(intervals: Sequence[Interval]) -> tuple[list[float], list[float]]:
    """How far limits are from the values; 0 where there is none."""
    below = [i.value - i.low if math.isfinite(i.low) else 0.0 for i in intervals]
    above = [i.high - i.value if math.isfinite(i.high) else 0.0 for i in intervals]
    return below, above
