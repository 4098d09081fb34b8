"""Draws a game's wiring as SVG for printing: matrices as grids, connectors as lists with wire colours."""

from html import escape

from hil.electrical.worksheets.colours import SHADES
from hil.electrical.worksheets.connections import Connections, Crossing, Wire

CELL_W, CELL_H = 112, 46
LEFT, TOP = 150, 84
FONT = "font-family='sans-serif'"
LINE = 17
PAGE_W = LEFT + 8 * CELL_W + 30


def matrix(title: str, found: tuple[Crossing, ...], note: str) -> str:
    """An 8 × 8 matrix as SVG, a name in each crossing that is used."""
    rows = {one.row: one.row_wire for one in found}
    columns = {one.column: one.column_wire for one in found}
    body = [_text(20, 30, title, 18)]
    for number in range(1, 9):
        x, y = LEFT + (number - 1) * CELL_W, TOP + (number - 1) * CELL_H
        body += _head(x + 8, TOP - 26, f"column {number}", columns.get(number))
        body += _head(20, y + 20, f"row {number}", rows.get(number))
        for other in range(1, 9):
            body.append(_box(LEFT + (other - 1) * CELL_W, y))
    for one in found:
        x, y = LEFT + (one.column - 1) * CELL_W, TOP + (one.row - 1) * CELL_H
        body.append(_text(x + CELL_W / 2, y + 20, one.name, 11, "middle"))
        below = one.note or f"{one.row_wire.at} · {one.column_wire.at}"
        body.append(_text(x + CELL_W / 2, y + 36, below, 9, "middle"))
    height = TOP + 8 * CELL_H
    body.append(_text(20, height + 30, note, 12))
    return _page(PAGE_W, height + 50, body)


def connectors(wired: Connections) -> str:
    """Every connector with its pins as SVG."""
    columns: dict[str, list[tuple[Wire, str]]] = {}
    for wire, name in _ends(wired):
        columns.setdefault(wire.connector, []).append((wire, name))
    body = [_text(20, 30, "Connectors; pin 1 is marked on the board", 18)]
    x, y, lowest, highest = 20, 60, 0, 60
    for connector in sorted(columns):
        pins = sorted(columns[connector], key=lambda end: end[0].pin)
        if x + 330 > PAGE_W:
            x, y = 20, lowest + 30
        body += _connector(x, y, connector, pins)
        lowest = max(lowest, y + LINE * (len(pins) + 1))
        highest = max(highest, lowest)
        x += 335
    return _page(PAGE_W, highest + 30, body)


def _connector(x: float, y: float, connector: str, pins: list[tuple[Wire, str]]) -> list[str]:
    body = [_text(x, y, connector, 14)]
    for line, (wire, name) in enumerate(pins, 1):
        at = y + LINE * line
        body.append(_text(x + 18, at, str(wire.pin), 11, "end"))
        body += _swatch(x + 26, at - 10, wire.code)
        body.append(_text(x + 66, at, wire.code, 11))
        body.append(_text(x + 114, at, name, 11))
    return body


def _ends(wired: Connections) -> list[tuple[Wire, str]]:
    """Every wire once, with the name of what is at its far end."""
    found: dict[str, tuple[Wire, str]] = {}
    for what, crossings in (("switch", wired.switches), ("lamp", wired.lamps)):
        for one in crossings:
            found[one.row_wire.at] = (one.row_wire, f"{what} row {one.row}")
            found[one.column_wire.at] = (one.column_wire, f"{what} column {one.column}")
    for direct in wired.direct:
        found[direct.wire.at] = (direct.wire, direct.name)
    for coil in wired.coils:
        found[coil.wire.at] = (coil.wire, coil.name)
        found[coil.bus.at] = (coil.bus, "left open" if coil.shares else f"bus for {coil.name}")
    if wired.direct:
        found["D1.17"] = (Wire("D1", 17, "logic 0 V", 0, "BU"), "logic 0 V")
    return list(found.values())


def _head(x: float, y: float, name: str, wire: Wire | None) -> list[str]:
    """The name of a row or column, and its wire when the game uses it."""
    if wire is None:
        return [_text(x, y, f"{name}, free", 11)]
    return [
        _text(x, y, f"{name}, {wire.at}", 11),
        *_swatch(x, y + 5, wire.code),
        _text(x + 40, y + 15, wire.code, 10),
    ]


def _swatch(x: float, y: float, code: str) -> list[str]:
    base, ring = code[:2], code[2:]
    body = [
        f"<rect x='{x}' y='{y}' width='32' height='11' fill='{SHADES[base]}' stroke='#000'"
        " stroke-width='0.7'/>"
    ]
    if ring:
        body.append(
            f"<rect x='{x + 20}' y='{y}' width='7' height='11' fill='{SHADES[ring]}' stroke='#000'"
            " stroke-width='0.7'/>"
        )
    return body


def _box(x: float, y: float) -> str:
    return f"<rect x='{x}' y='{y}' width='{CELL_W}' height='{CELL_H}' fill='none' stroke='#888'/>"


def _text(x: float, y: float, words: str, size: int, anchor: str = "start") -> str:
    return f"<text x='{x}' y='{y}' font-size='{size}' text-anchor='{anchor}' {FONT}>{escape(words)}</text>"


def _page(width: float, height: float, body: list[str]) -> str:
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {width} {height}'"
        f" width='{width}' height='{height}'>"
        f"<rect width='{width}' height='{height}' fill='#fff'/>" + "".join(body) + "</svg>\n"
    )
