"""Plots of a season as SVG text; matplotlib is loaded when the first is drawn."""

import io
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from firmware.base.errors import UsageError
from hil.season.figures import Line, Season
from hil.season.intervals import Interval
from hil.season.spread import Spread

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDE = 8.0  # inches
BLUE, GREY, RED = "#2f6690", "#9aa5ad", "#a4161a"
STAGE_COLOURS = ("#c9d6df", "#81a4cd", "#3e7cb1", "#054a91")
BINS = 40
MOST_BARS = 30
MOST_TICKS = 12
LEAST_SHARE = 0.01  # of a stacked bar that is named
LEAST_BAR = 0.001  # of a bar beside another


class Moment(NamedTuple):
    """Something that happened in a game."""

    s: float
    score: int
    words: str


def scores(spread: Spread) -> str:
    """A histogram over powers of ten, with median and mean."""
    figure, axes = _new(3.2)
    low, high = math.log10(max(1, spread.least)), math.log10(max(10, spread.most))
    edges = [low + (high - low) * n / BINS for n in range(BINS + 1)]
    values = [math.log10(max(1, value)) for value, _ in spread.steps()]
    axes.hist(values, bins=edges, weights=[count for _, count in spread.steps()], color=BLUE)
    for name, value, line in (("median", spread.quantile(0.5), "-"), ("mean", spread.mean(), "--")):
        axes.axvline(math.log10(max(1, value)), color="black", linestyle=line, label=f"{name} {value:,.0f}")
    powers = [10**power for power in range(math.floor(low), math.ceil(high) + 1)]
    ticks = [step * power for power in powers for step in (1, 2, 5)]
    axes.set_xticks([math.log10(tick) for tick in ticks], [f"{tick:,}" for tick in ticks], rotation=20)
    axes.set(xlabel="points", ylabel="players", xlim=(low, high))
    axes.legend(frameon=False)
    return _svg(figure)


def reached(spread: Spread, wanted: float, score: Interval) -> str:
    """The share of players that reach each score; the wanted share, and the score that gives it."""
    figure, axes = _new(3.0)
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
    _powers(axes)
    axes.legend(frameon=False)
    return _svg(figure)


def both_scores(before: Spread, after: Spread, names: tuple[str, str]) -> str:
    """Two histograms of scores over powers of ten."""
    figure, axes = _new(3.2)
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
    _powers(axes)
    axes.legend(frameon=False)
    return _svg(figure)


def changes(rows: Sequence[tuple[str, Interval]]) -> str:
    """Differences in % of what was before, with their intervals."""
    figure, axes = _new(0.9 + 0.3 * len(rows))
    names = [name for name, _ in rows]
    spans = _spans([interval for _, interval in rows])
    values = [interval.value for _, interval in rows]
    axes.errorbar(values, names, xerr=spans, fmt="o", color=BLUE, ecolor="black", capsize=3)
    axes.axvline(0, color="black", linewidth=0.9)
    axes.margins(y=0.1)
    axes.invert_yaxis()
    axes.set_xlabel("% of what was before")
    _thousands(axes)
    return _svg(figure)


def paired_bars(before: Sequence[Line], after: Sequence[Line], names: tuple[str, str]) -> str:
    """The features' shares before and after, side by side, with their intervals."""
    sides = [{line.name: line for line in lines} for lines in (before, after)]
    features = [name for name in dict.fromkeys((*sides[0], *sides[1])) if _share_of(sides, name)]
    figure, axes = _new(1.0 + 0.34 * len(features))
    for number, (side, colour) in enumerate(zip(sides, (GREY, BLUE), strict=True)):
        there = [name for name in features if name in side]
        places = [features.index(name) + (number - 0.5) * 0.38 for name in there]
        lines = [side[name] for name in there]
        values = [line.interval.value * 100 for line in lines]
        spans = _errors(lines, 100)
        axes.barh(places, values, 0.38, xerr=spans, color=colour, ecolor="black", label=names[number])
    axes.set_yticks(range(len(features)), features)
    axes.set_ylim(len(features) - 0.5, -0.5)
    axes.set_xlabel("% of all points")
    _thousands(axes)
    axes.set_xlim(left=0)
    axes.legend(frameon=False, loc="lower right")
    return _svg(figure)


def times(spread: Spread) -> str:
    """A histogram of times up to the 99th per cent."""
    figure, axes = _new(3.0)
    values, counts = zip(*spread.steps(), strict=True)
    most = max(1.0, spread.quantile(0.99) / 1_000)
    axes.hist([v / 1_000 for v in values], bins=BINS, range=(0, most), weights=counts, color=BLUE)
    mean = spread.mean() / 1_000
    axes.axvline(mean, color="black", linestyle="--", label=f"mean {mean:.1f} s")
    axes.set(xlabel="s (the longest hundredth is left out)", ylabel="balls", xlim=(0, most))
    axes.legend(frameon=False)
    return _svg(figure)


def bars(lines: Sequence[Line], per_cent: bool) -> str:
    """A bar for each figure with its interval, longest first."""
    shown = [line for line in lines if line.interval.value][:MOST_BARS]
    figure, axes = _new(0.6 + 0.24 * max(3, len(shown)))
    factor = 100 if per_cent else 1
    values = [line.interval.value * factor for line in shown]
    axes.barh([line.name for line in shown], values, xerr=_errors(shown, factor), color=BLUE, ecolor="black")
    axes.margins(y=0.01)
    axes.invert_yaxis()
    axes.set_xlabel("% of all points" if per_cent else "points")
    _thousands(axes)
    axes.set_xlim(left=0)
    return _svg(figure)


def funnels(lines: Sequence[Line], stages: Sequence[str]) -> str:
    """For each feature a bar a stage: the share of games that reached it."""
    features = list(dict.fromkeys(line.name.partition(": ")[0] for line in lines))
    found = {line.name: line.interval for line in lines}
    figure, axes = _new(0.8 + 0.5 * len(features))
    height = 0.8 / len(stages)
    for number, stage in enumerate(stages):
        rows = [
            (at, found[f"{name}: {stage}"]) for at, name in enumerate(features) if f"{name}: {stage}" in found
        ]
        places = [at + (number - (len(stages) - 1) / 2) * height for at, _ in rows]
        shares = [interval.value * 100 for _, interval in rows]
        axes.barh(places, shares, height, color=STAGE_COLOURS[number], label=stage)
        for place, share in zip(places, shares, strict=True):
            if not share:
                axes.text(0.5, place, f"{stage}: never", va="center", fontsize=6, color=RED)
    axes.set_yticks(range(len(features)), features)
    axes.set_ylim(len(features) - 0.5, -0.5)
    axes.set(xlabel="% of games", xlim=(0, 100))
    axes.legend(frameon=False, ncols=len(stages), loc="lower center", bbox_to_anchor=(0.5, 1.0))
    return _svg(figure)


def stacked(seasons: Sequence[Season], features: Sequence[str]) -> str:
    """For each skill a bar of the features' shares."""
    figure, axes = _new(1.6 + 0.5 * len(seasons))
    starts = [0.0] * len(seasons)
    for number, feature in enumerate(features):
        shares = [next((x.interval.value for x in s.of("share") if x.name == feature), 0.0) for s in seasons]
        colour = f"C{number % 10}"
        hatch = ("", "//", "..")[number // 10 % 3]
        label = feature if max(shares) >= LEAST_SHARE else "_"
        axes.barh(
            [season.skill for season in seasons],
            [share * 100 for share in shares],
            left=starts,
            color=colour,
            hatch=hatch,
            edgecolor="white",
            linewidth=0.4,
            label=label,
        )
        starts = [start + share * 100 for start, share in zip(starts, shares, strict=True)]
    axes.invert_yaxis()
    axes.set(xlabel="% of all points", xlim=(0, 100))
    axes.legend(frameon=False, fontsize=7, ncols=5, loc="upper center", bbox_to_anchor=(0.5, -0.25))
    return _svg(figure)


def line(points: Sequence[tuple[float, Interval]], across: str, up: str, level: float | None = None) -> str:
    """Values with their intervals against a setting; `level`: with a line there."""
    figure, axes = _new(3.2)
    places = [at for at, _ in points]
    values = [interval.value for _, interval in points]
    axes.errorbar(places, values, yerr=_spans([i for _, i in points]), color=BLUE, marker="o", capsize=3)
    if level is not None:
        axes.axhline(level, color="black", linewidth=0.9, linestyle="--")
    if len(places) <= MOST_TICKS:
        axes.set_xticks(places)
    axes.set(xlabel=across, ylabel=up)
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.yaxis.set_major_formatter("{x:,.10g}")
    axes.grid(alpha=0.3)
    return _svg(figure)


def tries(points: Sequence[tuple[float, float, float]], across: str, up: str) -> str:
    """Pairs of two settings, the nearer to what is wanted the darker; the nearest, the first, has a ring."""
    figure, axes = _new(3.6)
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
    return _svg(figure)


def timeline(moments: Sequence[Moment], course: Sequence[tuple[float, int]], balls: Sequence[float]) -> str:
    """A game's score over time, the starts of its balls, and what happened in it."""
    figure, axes = _new(6.0)
    axes.step([s for s, _ in course], [score for _, score in course], where="post", color=BLUE)
    for number, start in enumerate(balls, 1):
        axes.axvline(start, color=GREY, linewidth=0.8, linestyle=":")
        axes.text(
            start, 1.0, f" ball {number}", transform=axes.get_xaxis_transform(), va="bottom", fontsize=7
        )
    names = list(dict.fromkeys(moment.words for moment in moments))
    lanes = axes.twinx()
    for number, name in enumerate(names):
        at = [moment.s for moment in moments if moment.words == name]
        lanes.plot(at, [number] * len(at), "|", color=RED, markersize=7, markeredgewidth=1.2)
    lanes.set_yticks(range(len(names)), names, fontsize=7)
    lanes.set_ylim(-1, max(1, len(names)) * 1.02)
    axes.set(xlabel="s", ylabel="points")
    axes.yaxis.set_major_formatter("{x:,.0f}")
    return _svg(figure)


def _share_of(sides: Sequence[dict[str, Line]], name: str) -> bool:
    """Whether a feature has a share that can be seen on either side."""
    return any(name in side and side[name].interval.value >= LEAST_BAR for side in sides)


def _powers(axes: "Axes") -> None:
    """Points along a scale of powers."""
    low, high = axes.get_xlim()
    powers = [
        10**power for power in range(max(0, math.floor(math.log10(low))), math.ceil(math.log10(high)) + 1)
    ]
    ticks = [step * power for power in powers for step in (1, 2, 5) if low <= step * power <= high]
    axes.set_xticks(ticks, [f"{tick:,}" for tick in ticks], rotation=20)
    axes.minorticks_off()


def _errors(lines: Sequence[Line], factor: float) -> tuple[list[float], list[float]]:
    below, above = _spans([line.interval for line in lines])
    return [x * factor for x in below], [x * factor for x in above]


def _spans(intervals: Sequence[Interval]) -> tuple[list[float], list[float]]:
    """How far limits are from the values; 0 where there is none."""
    below = [i.value - i.low if math.isfinite(i.low) else 0.0 for i in intervals]
    above = [i.high - i.value if math.isfinite(i.high) else 0.0 for i in intervals]
    return below, above


def _thousands(axes: "Axes") -> None:
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.grid(axis="x", alpha=0.3)


def _new(height: float) -> "tuple[Figure, Axes]":
    """A figure of one plot. Raises UsageError: matplotlib is not there."""
    try:
        from matplotlib.figure import Figure  # loaded only here: an optional package, and slow to load
    except ImportError:
        raise UsageError("a page with plots needs matplotlib: pip install 'inlane[sums]'") from None
    figure = Figure(figsize=(WIDE, height), layout="constrained")
    return figure, figure.subplots()


def _svg(figure: "Figure") -> str:
    text = io.StringIO()
    figure.savefig(text, format="svg", metadata={"Date": None})
    whole = text.getvalue()
    return whole[whole.index("<svg") :]
