"""Plots of a season as SVG text; matplotlib is loaded when the first is drawn."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from hil.season.canvas import BINS, BLUE, GREY, RED, errors, new_plot, svg, thousands
from hil.season.figures import Line, Season
from hil.season.spread import Spread

STAGE_COLOURS = ("#c9d6df", "#81a4cd", "#3e7cb1", "#054a91")
MOST_BARS = 30
LEAST_SHARE = 0.01  # of a stacked bar that is named


class Moment(NamedTuple):
    """Something that happened in a game."""

    s: float
    score: int
    words: str


def scores(spread: Spread) -> str:
    """A histogram over powers of ten, with median and mean."""
    figure, axes = new_plot(3.2)
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
    return svg(figure)


def times(spread: Spread) -> str:
    """A histogram of times up to the 99th per cent."""
    figure, axes = new_plot(3.0)
    values, counts = zip(*spread.steps(), strict=True)
    most = max(1.0, spread.quantile(0.99) / 1_000)
    axes.hist([v / 1_000 for v in values], bins=BINS, range=(0, most), weights=counts, color=BLUE)
    mean = spread.mean() / 1_000
    axes.axvline(mean, color="black", linestyle="--", label=f"mean {mean:.1f} s")
    axes.set(xlabel="s (the longest hundredth is left out)", ylabel="balls", xlim=(0, most))
    axes.legend(frameon=False)
    return svg(figure)


def bars(lines: Sequence[Line], per_cent: bool) -> str:
    """A bar for each figure with its interval, longest first."""
    shown = [line for line in lines if line.interval.value][:MOST_BARS]
    figure, axes = new_plot(0.6 + 0.24 * max(3, len(shown)))
    factor = 100 if per_cent else 1
    values = [line.interval.value * factor for line in shown]
    axes.barh([line.name for line in shown], values, xerr=errors(shown, factor), color=BLUE, ecolor="black")
    axes.margins(y=0.01)
    axes.invert_yaxis()
    axes.set_xlabel("% of all points" if per_cent else "points")
    thousands(axes)
    axes.set_xlim(left=0)
    return svg(figure)


def funnels(lines: Sequence[Line], stages: Sequence[str]) -> str:
    """For each feature a bar a stage: the share of games that reached it."""
    features = list(dict.fromkeys(line.name.partition(": ")[0] for line in lines))
    found = {line.name: line.interval for line in lines}
    figure, axes = new_plot(0.8 + 0.5 * len(features))
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
    return svg(figure)


def stacked(seasons: Sequence[Season], features: Sequence[str]) -> str:
    """For each skill a bar of the features' shares."""
    figure, axes = new_plot(1.6 + 0.5 * len(seasons))
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
    return svg(figure)


def timeline(moments: Sequence[Moment], course: Sequence[tuple[float, int]], balls: Sequence[float]) -> str:
    """A game's score over time, the starts of its balls, and what happened in it."""
    figure, axes = new_plot(6.0)
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
    return svg(figure)
