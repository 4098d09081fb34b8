"""Plots that answer a question: what changed, what reaches a goal, what was tried."""

import math
from collections.abc import Sequence

from hil.season.canvas import BINS, BLUE, GREY, RED, errors, new_plot, powers, spans, svg, thousands
from hil.season.figures import Line
from hil.season.intervals import Interval
from hil.season.spread import Spread

LEAST_BAR = 0.001  # of a bar beside another
MOST_TICKS = 12


def reached(spread: Spread, wanted: float, score: Interval) -> str:
    """The share of players that reach each score; the wanted share, and the score that gives it."""
    figure, axes = new_plot(3.0)
    steps = list(spread.steps())
    left, shares = spread.count, []
    for _, count in steps:
        shares.append(left * 100 / spread.count)
        left -= count
    axes.step([max(1, value) for value, _ in steps], shares, where="post", color=BLUE)
    axes.axhline(wanted * 100, color="black", linewidth=0.9, linestyle="--")
    axes.axvspan(score.low, score.high, color=RED, alpha=0.15, label="95 % interval")
    axes.axvline(score.value, color=RED, label=f"{wanted:.1%} reach {score.value:,.0f}")
    axes.set(xscale="log", xlabel="points", ylabel="% of players who reach it", ylim=(0, 100))
    powers(axes)
    axes.legend(frameon=False)
    return svg(figure)


def both_scores(before: Spread, after: Spread, names: tuple[str, str]) -> str:
    """Two histograms of scores over powers of ten."""
    figure, axes = new_plot(3.2)
    spreads = (before, after)
    low = math.log10(max(1, min(spread.least for spread in spreads)))
    high = math.log10(max(10, *(spread.most for spread in spreads)))
    edges = [10 ** (low + (high - low) * n / BINS) for n in range(BINS + 1)]
    for spread, name, colour in zip(spreads, names, (GREY, BLUE), strict=True):
        values = [max(1, value) for value, _ in spread.steps()]
        weights = [count * 100 / spread.count for _, count in spread.steps()]
        axes.hist(values, edges, weights=weights, histtype="step", linewidth=1.6, color=colour, label=name)
        axes.axvline(max(1, spread.quantile(0.5)), color=colour, linestyle="--", label=f"median of {name}")
    axes.set(xscale="log", xlabel="points", ylabel="% of players")
    powers(axes)
    axes.legend(frameon=False)
    return svg(figure)


def changes(rows: Sequence[tuple[str, Interval]]) -> str:
    """Differences in % of what was before, with their intervals."""
    figure, axes = new_plot(0.9 + 0.3 * len(rows))
    names = [name for name, _ in rows]
    across = spans([interval for _, interval in rows])
    values = [interval.value for _, interval in rows]
    axes.errorbar(values, names, xerr=across, fmt="o", color=BLUE, ecolor="black", capsize=3)
    axes.axvline(0, color="black", linewidth=0.9)
    axes.margins(y=0.1)
    axes.invert_yaxis()
    axes.set_xlabel("% of what was before")
    thousands(axes)
    return svg(figure)


def paired_bars(before: Sequence[Line], after: Sequence[Line], names: tuple[str, str]) -> str:
    """The features' shares before and after, side by side, with their intervals."""
    sides = [{line.name: line for line in lines} for lines in (before, after)]
    features = [name for name in dict.fromkeys((*sides[0], *sides[1])) if _share_of(sides, name)]
    figure, axes = new_plot(1.0 + 0.34 * len(features))
    for number, (side, colour) in enumerate(zip(sides, (GREY, BLUE), strict=True)):
        there = [name for name in features if name in side]
        places = [features.index(name) + (number - 0.5) * 0.38 for name in there]
        lines = [side[name] for name in there]
        values = [line.interval.value * 100 for line in lines]
        limits = errors(lines, 100)
        axes.barh(places, values, 0.38, xerr=limits, color=colour, ecolor="black", label=names[number])
    axes.set_yticks(range(len(features)), features)
    axes.set_ylim(len(features) - 0.5, -0.5)
    axes.set_xlabel("% of all points")
    thousands(axes)
    axes.set_xlim(left=0)
    axes.legend(frameon=False, loc="lower right")
    return svg(figure)


def line(points: Sequence[tuple[float, Interval]], across: str, up: str, level: float | None = None) -> str:
    """Values with their intervals against a setting; `level`: with a line there."""
    figure, axes = new_plot(3.2)
    places = [at for at, _ in points]
    values = [interval.value for _, interval in points]
    axes.errorbar(places, values, yerr=spans([i for _, i in points]), color=BLUE, marker="o", capsize=3)
    if level is not None:
        axes.axhline(level, color="black", linewidth=0.9, linestyle="--")
    if len(places) <= MOST_TICKS:
        axes.set_xticks(places)
    axes.set(xlabel=across, ylabel=up)
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.yaxis.set_major_formatter("{x:,.10g}")
    axes.grid(alpha=0.3)
    return svg(figure)


def tries(points: Sequence[tuple[float, float, float]], across: str, up: str) -> str:
    """Pairs of two settings, the nearer to what is wanted the darker; the nearest, the first, has a ring."""
    figure, axes = new_plot(3.6)
    farthest_first = sorted(points, key=lambda point: -point[2])
    shown = axes.scatter(
        [point[0] for point in farthest_first],
        [point[1] for point in farthest_first],
        c=[point[2] * 100 for point in farthest_first],
        cmap="Blues_r",
        norm="log" if farthest_first[-1][2] else "linear",
        edgecolors=GREY,
        linewidths=0.6,
        s=42,
    )
    nearest = points[0]
    axes.plot([nearest[0]], [nearest[1]], "o", markersize=12, markerfacecolor="none", color=RED)
    bar = figure.colorbar(shown, label="% off")
    bar.ax.yaxis.set_major_formatter("{x:,.3g}")
    bar.ax.yaxis.set_minor_formatter("{x:,.3g}")
    axes.set(xlabel=across, ylabel=up)
    axes.locator_params(integer=True)
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.yaxis.set_major_formatter("{x:,.10g}")
    axes.grid(alpha=0.3)
    return svg(figure)


def _share_of(sides: Sequence[dict[str, Line]], name: str) -> bool:
    """Whether a feature has a share that can be seen on either side."""
    return any(name in side and side[name].interval.value >= LEAST_BAR for side in sides)
