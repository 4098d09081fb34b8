"""A season's figures as tables in a terminal, as JSON and as CSV."""

import csv
import io
import json
import math
from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table

from hil.season.figures import Line, Season
from hil.season.intervals import Interval

TITLES = {
    "score": "Score of a player",
    "time": "Time",
    "reward": "Rewards",
    "share": "Share of all points by feature",
    "shot": "Points that a shot brings, each attempt",
    "drain": "Balls that came home, by their last shot",
    "funnel": "How far games get in each feature",
}
DECIMALS = {"share": 1, "points": 0, "s": 1, "times": 3, "balls": 2}


def value_text(value: float, unit: str) -> str:
    """A value as it is shown: shares in per cent, points with separators."""
    if math.isinf(value):
        return "–"
    if unit == "share":
        return f"{value:.1%}"
    return f"{value:,.{DECIMALS.get(unit, 1)}f}"


def interval_text(interval: Interval, unit: str) -> str:
    """A value and the limits of its interval."""
    low, high = (value_text(limit, unit) for limit in interval[1:])
    return f"{value_text(interval.value, unit)} ({low} … {high})"


def show(season: Season, console: Console) -> None:
    """Print every table of a season."""
    settings = " ".join(f"{name}={value}" for name, value in season.settings.items())
    console.print(
        f"[b]{season.game}[/b], {season.games:,} games by players of skill {season.skill} {settings}"
    )
    for name, title in TITLES.items():
        if season.of(name):
            console.print(_table(title, season.of(name)))
    console.print(f"Never paid: {', '.join(season.unpaid) or 'no award'}")
    console.print(f"Never seen: {', '.join(season.never) or 'no stage of a feature'}")
    console.print(f"Findings of the standing checks: {season.aggregate.findings}")
    for seed, words in season.aggregate.wrong.items():
        console.print(f"seed {seed}: {words}", markup=False)


def as_json(season: Season) -> str:
    """Figures with their limits, as one JSON object; a limit that is not known is null."""
    return json.dumps(
        {
            "game": season.game,
            "skill": season.skill,
            "settings": season.settings,
            "games": season.games,
            "findings": season.aggregate.findings,
            "figures": [_plain(line) for line in season.lines],
            "unpaid": season.unpaid,
            "never": season.never,
        }
    )


def as_csv(lines: Iterable[Line]) -> str:
    """Figures with their limits, one a row."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(("table", "name", "unit", "value", "low", "high", "count"))
    rows.writerows((line.table, line.name, line.unit, *line.interval, line.count) for line in lines)
    return text.getvalue()


def _plain(line: Line) -> dict[str, object]:
    value, low, high = (number if math.isfinite(number) else None for number in line.interval)
    return {
        "table": line.table,
        "name": line.name,
        "unit": line.unit,
        "value": value,
        "low": low,
        "high": high,
        "count": line.count,
    }


def _table(title: str, lines: Sequence[Line]) -> Table:
    table = Table(title=title, title_justify="left")
    for heading in ("", "value", "95 % interval", "count"):
        table.add_column(heading, justify="right" if heading else "left")
    for line in lines:
        low, high = (value_text(limit, line.unit) for limit in line.interval[1:])
        table.add_row(
            line.name, value_text(line.interval.value, line.unit), f"{low} … {high}", f"{line.count:,}"
        )
    return table
