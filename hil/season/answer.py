"""The answer to a question about a game: sentences, tables, and plots for the page."""

import csv
import io
import json
import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from rich.console import Console
from rich.table import Table

from hil.season.intervals import Interval

DECIMALS = {"points": 0, "s": 1, "min": 2, "times": 3, "balls": 2}
Record = dict[str, object]


class Block(NamedTuple):
    """A table: its first column has names, the others numbers as text."""

    title: str
    headings: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]


class Plot(NamedTuple):
    """A plot that is drawn, as SVG, when a page is written."""

    caption: str
    draw: Callable[[], str]


class Answer(NamedTuple):
    """What is said, in words, in tables, in plots, and as records for other programs."""

    title: str
    sentences: tuple[str, ...]
    blocks: tuple[Block, ...]
    records: tuple[Record, ...]
    plots: tuple[Plot, ...] = ()
    findings: int = 0


def value_text(value: float, unit: str) -> str:
    """A value as it is shown: shares in per cent, points with separators; "–" without limit."""
    if math.isinf(value):
        return "–"
    decimals = DECIMALS.get(unit, 1)
    if unit == "share":
        return f"{_whole(value * 100, 1):.1f}%"
    return f"{_whole(value, decimals):,.{decimals}f}"


def _whole(value: float, decimals: int) -> float:
    """Rounded, and without the sign of a zero."""
    return round(value, decimals) + 0.0


def interval_text(interval: Interval, unit: str) -> str:
    """The limits of an interval."""
    return " … ".join(value_text(limit, unit) for limit in interval[1:])


def limits(interval: Interval) -> Record:
    """Value and limits; a limit that is not known is None."""
    names = ("value", "low", "high")
    return {
        name: number if math.isfinite(number) else None for name, number in zip(names, interval, strict=True)
    }


def show(answer: Answer, console: Console) -> None:
    """Print an answer."""
    console.print(answer.title, markup=False, style="bold")
    for block in answer.blocks:
        table = Table(title=block.title, title_justify="left")
        for number, heading in enumerate(block.headings):
            table.add_column(heading, justify="right" if number else "left")
        for row in block.rows:
            table.add_row(*row)
        console.print(table)
    for sentence in answer.sentences:
        console.print(sentence, markup=False, highlight=False)


def as_json(answer: Answer) -> str:
    """An answer's sentences and records."""
    return json.dumps(
        {"title": answer.title, "sentences": answer.sentences, "figures": answer.records}, ensure_ascii=False
    )


def as_csv(answer: Answer) -> str:
    """An answer's records, one a row."""
    names = list(dict.fromkeys(name for record in answer.records for name in record))
    text = io.StringIO()
    rows = csv.DictWriter(text, names, lineterminator="\n")
    rows.writeheader()
    rows.writerows(answer.records)
    return text.getvalue()
