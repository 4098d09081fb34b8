"""The signals of a run over its time, drawn as SVG: a row for each that changed."""

from collections.abc import Sequence
from html import escape
from typing import NamedTuple

from hil.bench.view import OFF, pattern_words, seconds
from hil.bench.waves import Change, Waves

LABEL, PLOT, RIGHT = 210, 930, 20  # widths
ROW, HEAD = 16, 34  # heights
ONE_BIT = ("switch", "coil", "window")
SHOWN = (("switch", "switches"), ("coil", "coils"), ("window", "windows"), ("lamp", "lamps"),
         ("state", "states"), ("value", "values"), ("score", "scores"), ("display", "displays"))  # fmt: skip
TICKS_MS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 60_000, 300_000, 600_000, 3_600_000)
NARROW = 7  # width of a letter


class Mark(NamedTuple):
    """A line of the script at its time, or the moment of a failure."""

    ms: int
    words: str
    is_failure: bool = False


class Row(NamedTuple):
    """One row: a label, and the changes that it draws; a heading has none."""

    label: str
    kind: str
    changes: Sequence[Change]


class Scale:
    """Places of times between `first` and `last` ms."""

    def __init__(self, first: int, last: int) -> None:
        self.first = first
        self.last = max(last, first + 1)

    def x(self, ms: int) -> float:
        """Where a time is; times outside are at the edge."""
        inside = min(max(ms, self.first), self.last)
        return round(LABEL + (inside - self.first) / (self.last - self.first) * PLOT, 1)

    def ticks(self) -> range:
        """Times to write, some ten at most."""
        span = self.last - self.first
        step = next((step for step in TICKS_MS if span / step <= 11), TICKS_MS[-1])
        return range(-(-self.first // step) * step, self.last + 1, step)


def draw(waves: Waves, marks: Sequence[Mark], first: int = 0, last: int = -1) -> str:
    """The drawing from `first` to `last` ms; −1: to the end of the run."""
    scale = Scale(first, waves.end_ms if last < 0 else last)
    rows = rows_of(waves, scale)
    height = HEAD + ROW * len(rows) + 6
    parts = [
        f'<svg class="timeline" viewBox="0 0 {LABEL + PLOT + RIGHT} {height}" role="img" '
        f'aria-label="{escape(waves.title, quote=True)} over time">'
    ]
    parts += _axis(scale, height)
    for at, row in enumerate(rows):
        parts += _row(row, HEAD + at * ROW, scale)
    parts += _marks(marks, scale, height)
    return "\n".join([*parts, "</svg>"])


def rows_of(waves: Waves, scale: Scale) -> list[Row]:
    """A heading for each kind that changed within the time, then its signals."""
    rows: list[Row] = []
    for kind, heading in SHOWN:
        seen = {name: part for name, found in waves.of_kind(kind).items() if (part := within(found, scale))}
        if seen:
            rows.append(Row(heading, "", ()))
            rows += [Row(name, kind, part) for name, part in seen.items()]
    return rows


def within(changes: Sequence[Change], scale: Scale) -> list[Change]:
    """What a signal was at the beginning of the time and its changes in it; nothing when it only rested."""
    before = [change for change in changes if change.ms <= scale.first][-1:]
    after = [change for change in changes if scale.first < change.ms <= scale.last]
    rests = not after and (not before or before[0].level in (0, "") or before[0].ms < scale.first)
    return [] if rests else [Change(scale.first, before[0].level)] * bool(before) + after


def _axis(scale: Scale, height: int) -> list[str]:
    drawn = []
    for ms in scale.ticks():
        x = scale.x(ms)
        drawn.append(f'<line class="tick" x1="{x}" y1="{HEAD - 4}" x2="{x}" y2="{height}"/>')
        drawn.append(f'<text class="time" x="{x}" y="{HEAD - 8}">{ms / 1000:g} s</text>')
    return drawn


def _row(row: Row, y: int, scale: Scale) -> list[str]:
    if not row.kind:
        return [f'<text class="kind" x="4" y="{y + 12}">{escape(row.label)}</text>']
    drawn = [f'<text class="name" x="{LABEL - 8}" y="{y + 12}">{escape(row.label)}</text>']
    ends = [change.ms for change in row.changes[1:]] + [scale.last]
    for change, end in zip(row.changes, ends, strict=True):
        drawn += _span(row, change, scale.x(change.ms), scale.x(end), y)
    return drawn


def _span(row: Row, change: Change, x: float, end: float, y: int) -> list[str]:
    """One level of a signal, as a bar with its words where there is room."""
    if change.level in (0, "") and row.kind != "value":
        return []
    words = level_words(row.kind, change.level)
    shade = f"lamp-{change.level}" if row.kind == "lamp" else row.kind
    wide = round(max(end - x, 1.2), 1)
    told = f"{row.label}: {words} from {seconds(change.ms)}"
    bar = f'<rect class="bar {shade}" x="{x}" y="{y + 2}" width="{wide}" height="{ROW - 4}">'
    drawn = [f"{bar}<title>{escape(told)}</title></rect>"]
    if row.kind not in ONE_BIT and len(words) * NARROW < wide:
        drawn.append(f'<text class="level" x="{x + 3}" y="{y + 12}">{escape(words)}</text>')
    return drawn


def level_words(kind: str, level: int | str) -> str:
    """A level in the words of reports."""
    if kind == "lamp":
        return pattern_words(int(level))
    if kind in ONE_BIT:
        words = {"switch": ("open", "closed"), "coil": ("off", "on"), "window": ("closed", "open")}
        return words[kind][int(level) != OFF]
    return level if isinstance(level, str) else f"{level:,}"


def _marks(marks: Sequence[Mark], scale: Scale, height: int) -> list[str]:
    drawn = []
    for mark in marks:
        if scale.first <= mark.ms <= scale.last:
            x = scale.x(mark.ms)
            kind = "failure" if mark.is_failure else "step"
            top = 2 if mark.is_failure else HEAD - 4
            line = f'<line class="{kind}" x1="{x}" y1="{top}" x2="{x}" y2="{height}">'
            drawn.append(f"{line}<title>{escape(mark.words)}</title></line>")
    return drawn
