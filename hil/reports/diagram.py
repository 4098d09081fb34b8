"""Draws a chart: states as vertical lines, transitions as arrows between them, in the order of the rows.

The layout needs no solver and stays readable for any chart. Mermaid's state diagrams are written too.
"""

import html
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from firmware.base.errors import UsageError
from firmware.charts.model import ANY, PARALLEL, Node, Region
from firmware.charts.row import Row, rows_of

LANE = 150  # px from line to line
TOP = 92
STEP = 34
EDGE = 90
INK = "#222"
NOW = "#c60"
UNSEEN = "#b00"
DASHED = ' stroke-dasharray="5 3"'


@dataclass(frozen=True)
class Unseen:
    """What is marked in a chart as not seen: states, and arrows by their number.

    `guards`: by number of the arrow, what is written behind its label.
    """

    states: Collection[str] = ()
    arrows: Collection[int] = ()
    guards: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Arrow:
    """One transition: the lanes that it joins, and its label."""

    source: str
    targets: tuple[str, ...]
    label: str
    external: bool


@dataclass(frozen=True)
class Diagram:
    """One chart as lanes and arrows; `inside` maps a state to the state that holds it."""

    name: str
    lanes: tuple[str, ...]
    inside: dict[str, str]
    parallel: frozenset[str]
    arrows: tuple[Arrow, ...]


def of_region(region: Region) -> Diagram:
    """The diagram of a chart. Raises ChartError for a malformed row."""
    rows = rows_of(region)
    lanes: list[str] = []
    inside: dict[str, str] = {}
    parallel: set[str] = set()
    _add_nodes(region.states, "", lanes, inside, parallel)
    for row in rows:
        for name in (row.state, *row.targets):
            if name not in lanes:
                lanes.append(name)
    if ANY in lanes:
        lanes.remove(ANY)
        lanes.insert(0, ANY)
    return Diagram(region.name, tuple(lanes), inside, frozenset(parallel), tuple(_arrow(row) for row in rows))


def _add_nodes(
    nodes: tuple[Node, ...], holder: str, lanes: list[str], inside: dict[str, str], parallel: set[str]
) -> None:
    for node in nodes:
        lanes.append(node.name)
        if holder:
            inside[node.name] = holder
        if node.kind == PARALLEL:
            parallel.add(node.name)
        _add_nodes(node.states, node.name, lanes, inside, parallel)


def _arrow(row: Row) -> Arrow:
    event = f"after {row.after.ms} ms" if row.after else " ".join(row.hears) or "at once"
    guard = f" [{row.guard}]" if row.guard else ""
    does = f" / {', '.join(row.does)}" if row.does else ""
    return Arrow(row.state, row.targets, event + guard + does, row.external)


def as_text(diagram: Diagram) -> str:
    """The chart as text: one line for each transition."""
    lines = [diagram.name, "  states: " + ", ".join(_state_words(diagram, lane) for lane in diagram.lanes)]
    for arrow in diagram.arrows:
        kind = " (external)" if arrow.external else ""
        goal = ", ".join(arrow.targets) or "stays"
        lines.append(f"  {arrow.source} -> {goal}{kind}: {arrow.label}")
    return "\n".join(lines) + "\n"


def _state_words(diagram: Diagram, lane: str) -> str:
    holder = diagram.inside.get(lane)
    kind = " (parallel)" if lane in diagram.parallel else ""
    return f"{lane}{kind} in {holder}" if holder else lane + kind


def as_mermaid(diagram: Diagram) -> str:
    """The chart as Mermaid's `stateDiagram-v2`."""
    ids = {lane: f"s{number}" for number, lane in enumerate(diagram.lanes)}
    lines = ["stateDiagram-v2", f"  %% {diagram.name}"]
    lines += [f'  state "{lane}" as {ids[lane]}' for lane in diagram.lanes]
    for holder in dict.fromkeys(diagram.inside.values()):
        lines.append(f"  state {ids[holder]} {{")
        held = [lane for lane, parent in diagram.inside.items() if parent == holder]
        for number, lane in enumerate(held):
            if number and holder in diagram.parallel:
                lines.append("    --")
            lines.append(f"    {ids[lane]}")
        lines.append("  }")
    first = next((lane for lane in diagram.lanes if lane != ANY and lane not in diagram.inside), None)
    if first:
        lines.append(f"  [*] --> {ids[first]}")
    for arrow in diagram.arrows:
        for target in arrow.targets or (arrow.source,):
            label = arrow.label.replace(":", " ")
            lines.append(f"  {ids[arrow.source]} --> {ids[target]} : {label}")
    return "\n".join(lines) + "\n"


def as_svg(diagram: Diagram, active: Collection[str] = (), unseen: Unseen | None = None) -> str:
    """The chart as SVG; `active` states are bold and coloured, what is `unseen` is red and dashed."""
    columns = {lane: EDGE + LANE * number for number, lane in enumerate(diagram.lanes)}
    lanes = EDGE * 2 + LANE * max(len(columns) - 1, 0) + 120
    marks = unseen or Unseen()
    ends = [_label_end(arrow, columns, marks.guards.get(at, "")) for at, arrow in enumerate(diagram.arrows)]
    width = max([lanes, *ends])
    height = TOP + STEP * (len(diagram.arrows) + 1)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif" font-size="12">',
        f"<defs>{_tip(INK)}{_tip(UNSEEN)}</defs>" if unseen else f"<defs>{_tip(INK)}</defs>",
        f'<rect width="{width}" height="{height}" fill="white"/>',
        _text(12, 22, diagram.name, 'font-size="16" font-weight="bold"'),
    ]
    if unseen is not None:
        parts.append(_text(12, 38, "not seen: red and dashed", f'font-size="10" fill="{UNSEEN}"'))
    parts += [
        _lane(diagram, lane, x, height, lane in active, lane in marks.states) for lane, x in columns.items()
    ]
    for number, arrow in enumerate(diagram.arrows):
        note = marks.guards.get(number, "")
        parts += _drawn(arrow, columns, TOP + STEP * (number + 1), number in marks.arrows, note)
    return "\n".join([*parts, "</svg>"]) + "\n"


def _tip(ink: str) -> str:
    """The marker of an arrow's tip; only the usual one has the plain name."""
    name = "tip" if ink == INK else "unseen"
    return (
        f'<marker id="{name}" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="8" markerHeight="8" '
        f'orient="auto-start-reverse"><path d="M0 0 L10 5 L0 10 z" fill="{ink}"/></marker>'
    )


def _lane(diagram: Diagram, lane: str, x: int, height: int, active: bool, unseen: bool) -> str:
    ink = NOW if active else UNSEEN if unseen else INK
    bold = ' font-weight="bold"' if active else ""
    holder = diagram.inside.get(lane)
    above = (
        _text(x, 48, f"in {holder}", f'fill="{INK}" text-anchor="middle" font-size="10"') if holder else ""
    )
    return (
        f'{above}<rect x="{x - 62}" y="54" width="124" height="26" rx="13" fill="white" stroke="{ink}" '
        f'stroke-width="{3 if active else 1.2}"{DASHED if unseen else ""}/>'
        + _text(x, 71, lane, f'fill="{ink}" text-anchor="middle"{bold}')
        + f'<line x1="{x}" y1="80" x2="{x}" y2="{height - 8}" stroke="#bbb"/>'
    )


def _drawn(arrow: Arrow, columns: dict[str, int], y: int, unseen: bool, note: str) -> list[str]:
    start = columns[arrow.source]
    ink, tip, dashed = (UNSEEN, "unseen", DASHED) if unseen else (INK, "tip", "")
    parts = [f'<circle cx="{start}" cy="{y}" r="4" fill="{ink}"/>']
    for end in [columns[target] for target in arrow.targets]:
        line = f'stroke="{ink}"{dashed} marker-end="url(#{tip})"/>'
        if end == start:
            parts.append(f'<path d="M{start} {y} h26 v10 h-22" fill="none" {line}')
        else:
            parts.append(f'<line x1="{start}" y1="{y}" x2="{end}" y2="{y}" {line}')
    halo = f'fill="{ink}" stroke="white" stroke-width="4" paint-order="stroke"'
    return [*parts, _text(_label_x(arrow, columns), y - 6, arrow.label, halo, note)]


def _label_x(arrow: Arrow, columns: dict[str, int]) -> int:
    return min(columns[lane] for lane in (arrow.source, *arrow.targets)) + 8


def _label_end(arrow: Arrow, columns: dict[str, int], note: str) -> int:
    """Where a label with its note ends at most, with a margin: a letter is 0.6 of the 12 pixels wide."""
    words = f"{arrow.label}  {note}" if note else arrow.label
    return _label_x(arrow, columns) + len(words) * 72 // 10 + EDGE // 2


def _text(x: int, y: int, words: str, style: str, note: str = "") -> str:
    """Words; a note that follows them is red."""
    more = f'<tspan dx="8" fill="{UNSEEN}" font-style="italic">{html.escape(note)}</tspan>' if note else ""
    return f'<text x="{x}" y="{y}" {style}>{html.escape(words)}{more}</text>'


WRITERS: dict[str, Callable[[Diagram], str]] = {".svg": as_svg, ".mmd": as_mermaid, ".txt": as_text}


def writer_for(suffix: str) -> Callable[[Diagram], str]:
    """The writer for a file's suffix. Raises UsageError that names the known ones."""
    if suffix not in WRITERS:
        raise UsageError(f"a chart is written as {', '.join(WRITERS)} or .scxml, not '{suffix}'")
    return WRITERS[suffix]
