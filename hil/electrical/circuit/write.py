"""Writes what is made from the netlist: parts, netlist for KiCad, layout notes, other pages."""

from pathlib import Path

from hil.electrical.circuit import kicad, lists, melting, pages, rules
from hil.electrical.circuit.netlist import Circuit

PARTS = "parts.md"
NETLIST = "circuit.net"
LAYOUT = "layout.md"
ON_TIME = "on_time.md"
MELTING = "melting.md"
REPORT = "rules.md"


def texts(circuit: Circuit) -> dict[str, str]:
    """The files by name."""
    made = {PARTS: lists.document(circuit), NETLIST: kicad.text(circuit)}
    return {**made, LAYOUT: pages.layout(), ON_TIME: pages.on_time(), MELTING: melting.page()}


def reports(circuit: Circuit) -> dict[str, str]:
    """The rules' report by file name; it takes a second."""
    return {REPORT: rules.report(circuit)}


def write(circuit: Circuit, folder: Path) -> list[Path]:
    """Write the files into `folder`; returns their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    for name, text in {**texts(circuit), **reports(circuit)}.items():
        path = folder / name
        path.write_text(text, encoding="utf-8")
        made.append(path)
    return made
