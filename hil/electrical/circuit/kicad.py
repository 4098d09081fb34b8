"""The circuit as a netlist that KiCad's board editor imports: S-expressions of components and nets."""

from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import Part
from hil.electrical.circuit.sheets import REVISION

# KiCad's library names of footprints, from memory; a kind without one is yours to choose.
FOOTPRINTS = {
    "resistor": "Resistor_THT:R_Axial_DIN0207_L6.3mm_D2.5mm_P10.16mm_Horizontal",
    "capacitor": "Capacitor_THT:C_Disc_D5.0mm_W2.5mm_P5.00mm",
    "film": "Capacitor_THT:C_Rect_L7.2mm_W4.5mm_P5.00mm_FKS2_FKP2_MKS2_MKP2",
    "X7R": "Capacitor_THT:C_Disc_D5.0mm_W2.5mm_P5.00mm",
    "electrolytic": "Capacitor_THT:CP_Radial_D10.0mm_P5.00mm",
    "diode": "Diode_THT:D_DO-41_SOD81_P10.16mm_Horizontal",
    "clamp": "Package_TO_SOT_SMD:SOT-23",
    "mosfet": "Package_TO_SOT_THT:TO-220-3_Vertical",
    "fuse": "Fuse:Fuseholder_Cylinder-5x20mm_Stelvio-Kontek_PTF78_Horizontal_Open",
}


def footprint(part: Part) -> str:
    """The footprint of a part's kind; empty where there is none."""
    return FOOTPRINTS.get(part.kind, "")


def text(circuit: Circuit) -> str:
    """The netlist. Parts off the board are left out: they have no place on it."""
    board = circuit.select(lambda part: not part.off_board)
    lines = ['(export (version "E")', f'(design (source "hil/electrical/circuit, revision {REVISION}"))']
    lines += ["(components", *(_component(part) for part in board.parts.values()), ")"]
    lines += ["(nets"]
    for code, (name, nodes) in enumerate(board.nets().items(), 1):
        ends = " ".join(f"(node (ref {_quoted(mark)}) (pin {_quoted(pin)}))" for mark, pin in nodes)
        lines.append(f"(net (code {_quoted(str(code))}) (name {_quoted(name)}) {ends})")
    return "\n".join([*lines, "))"]) + "\n"


def _component(part: Part) -> str:
    named = f"(ref {_quoted(part.mark)}) (value {_quoted(part.value)}) (footprint {_quoted(footprint(part))})"
    return f'(comp {named} (property (name "Sheet") (value {_quoted(part.sheet)})))'


def _quoted(words: str) -> str:
    return '"' + words.replace('"', "'") + '"'
