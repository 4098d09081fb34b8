"""Places the parts of a sheet by itself: rows of two-ended parts, transistors, boxes, in three columns."""

from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import Part
from hil.electrical.circuit.sheets import REVISION, SHEETS
from hil.electrical.circuit.volts import RAILS
from hil.electrical.drawings import blocks
from hil.electrical.drawings.blocks import Block
from hil.electrical.drawings.sheet import Sheet

COLUMNS = 3
WIDTH = 11.2  # of a column
LONGEST = 2  # two-ended parts in a row
# By sheet: the channels that are drawn; the others are alike, which a rule checks.
SHOWN = {"drive_pulsed": (1,), "drive_held": (25,), "inputs": (1, 11, 21), "lamps": (1, 11)}
ALIKE = {
    "drive_pulsed": "Drives 2 to 24 alike: digits 2 and 3 of a designator are the drive's number (Q324 is"
    " that of drive 24); R..6, R..7 and D..3 up to 16 only; R..5 and C..1 by"
    " the coil, as the work sheet says.",
    "drive_held": "Drive 26 alike: Q426 for Q425; R..5 and C..1 by the coil, as the work sheet says.",
    "inputs": "Alike: rows 51n, columns 52n (n from 1 to 8), direct inputs 53nn (01 to 16).",
    "lamps": "Alike: columns 61n, rows 62n (n from 1 to 8).",
}


def drawn(circuit: Circuit, name: str) -> list[Part]:
    """The parts that a sheet shows."""
    shown = SHOWN.get(name, ())
    return [part for part in circuit.sheet(name) if not part.unit or part.unit in shown]


def sheet(circuit: Circuit, name: str) -> Sheet:
    """The drawing of a sheet. Raises UsageError: no schemdraw."""
    made = Sheet(name)
    made.text((0, 1.3), SHEETS[name].title, 15)
    made.text((0, 0.6), f"sheet {name}, revision {REVISION}. {ALIKE.get(name, '')}", 9)
    waiting = _blocks(drawn(circuit, name))
    room = sum(block.height for block in waiting) / COLUMNS
    x, y = 0.0, 0.0
    for block in waiting:
        if y - block.height / 2 < -room and x < WIDTH * (COLUMNS - 1):
            x, y = x + WIDTH, 0.0
        block.draw(made, (x, y))
        y -= block.height
    return made


def _blocks(parts: list[Part]) -> list[Block]:
    two_ended = [part for part in parts if part.kind in blocks.SYMBOLS]
    made = [blocks.chain(*row) for row in _chains(two_ended)]
    for part in parts:
        if part.kind in blocks.SYMBOLS:
            continue
        if part.kind == "clamp":
            made.append(blocks.clamp(part))
        elif part.kind in ("mosfet", "p mosfet"):
            made.append(blocks.transistor(part))
        elif part.kind == "test point":
            made.append(blocks.test_point(part))
        else:
            made.append(blocks.box(part))
    return made


def _chains(parts: list[Part]) -> list[tuple[list[Part], list[str]]]:
    """Parts in rows, in their order; one follows another where they share a net that is no rail."""
    left = list(parts)
    rows = []
    while left:
        part = left.pop(0)
        row, nets = [part], _ordered(part)
        while len(row) < LONGEST:
            after = next((p for p in left if nets[-1] in _nets(p) and nets[-1] not in RAILS), None)
            if after is None:
                break
            left.remove(after)
            row.append(after)
            nets.append(next((net for net in _nets(after) if net != nets[-1]), nets[-1]))
        rows.append((row, nets))
    return rows


def _nets(part: Part) -> list[str]:
    return [pin.net for pin in part.pins]


def _ordered(part: Part) -> list[str]:
    """Its nets, a rail first: the open end of a row is the one that may go on."""
    first, second = _nets(part)
    return [second, first] if second in RAILS and first not in RAILS else [first, second]
