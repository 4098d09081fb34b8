"""The parts list and the connector tables of the circuit, as Markdown."""

from collections.abc import Iterable

from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import Part
from hil.electrical.circuit.sheets import REVISION, SHEETS

HEAD = f"""# Parts and connectors of the reference circuit, revision {REVISION}

Written by `python -m hil.electrical.drawings`; change the sheets in `hil/electrical/circuit` instead.
Values are neutral of makers; names such as 2N7002 are of a kind that any distributor has. Ratings and
pinouts are from memory: check the data sheet of what you buy. "breaks" is the DC current that a part can
interrupt at its volts.
"""
UNITS = {
    "V": "V",
    "A": "A",
    "W": "W",
    "breaks": "A",
    "bears": "A²s",
    "peak": "A",
    "limit": "A",
    "gate_V": "V",
    "wets": "A",
}
NAMES = {
    "breaks": "breaks",
    "bears": "bears",
    "peak": "for 0.1 s",
    "limit": "own limit",
    "gate_V": "gate",
    "wets": "from",
}


def document(circuit: Circuit) -> str:
    """The parts list and the connector tables."""
    found = [HEAD]
    for name, sheet in SHEETS.items():
        found += [f"## Sheet {name}", "", f"{sheet.title}.", "", _table(circuit.sheet(name)), ""]
    found += ["## Connectors", "", *(_connector(circuit, part) for part in _connectors(circuit))]
    return "\n".join(found)


def _connectors(circuit: Circuit) -> list[Part]:
    return [part for part in circuit.parts.values() if part.kind == "connector"]


def _table(parts: Iterable[Part]) -> str:
    """Parts that are alike in one row, in the order of their first designator."""
    rows: dict[tuple[str, str, str, str, bool], list[str]] = {}
    for part in parts:
        key = (part.kind, part.value, ratings(part), part.why, part.off_board)
        rows.setdefault(key, []).append(part.mark)
    lines = ["| designators | number | part | value | ratings | why |", "|---|---|---|---|---|---|"]
    for (kind, value, rated, why, away), marks in rows.items():
        where = f"{kind}, off the board" if away else kind
        lines.append(f"| {', '.join(marks)} | {len(marks)} | {where} | {value} | {rated} | {why} |")
    return "\n".join(lines)


def ratings(part: Part) -> str:
    """A part's ratings in words, such as: 63 V, 1.6 A, breaks 300 A."""
    words = []
    for name, value in part.ratings.items():
        if name in UNITS:
            words.append(f"{NAMES.get(name, '')} {value:g} {UNITS[name]}".strip())
    return ", ".join(words)


def _connector(circuit: Circuit, part: Part) -> str:
    lines = [f"### {part.mark}: {part.value}", "", "| pin | net | leads to |", "|---|---|---|"]
    for pin in part.pins:
        others = [f"{o.mark}.{p.number}" for o, p in circuit.on(pin.net) if o.mark != part.mark]
        shown = ", ".join(others[:6]) + (f" and {len(others) - 6} more" if len(others) > 6 else "")
        lines.append(f"| {pin.number} | {pin.net} | {shown} |")
    return "\n".join(lines) + "\n"
