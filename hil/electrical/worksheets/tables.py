"""The work sheet as Markdown: tables, a measuring list, the bring-up steps."""

from collections.abc import Mapping, Sequence

from hil.electrical.sums.on_time import STAGES, Stage
from hil.electrical.worksheets import displays
from hil.electrical.worksheets.bring_up import STEPS
from hil.electrical.worksheets.colours import PLAIN, words
from hil.electrical.worksheets.connections import DRIVES, Coil, Connections, Crossing, Wire

COIL_SECTION = "0.75 mm²"
DIODE_LOW = "0.5 V"
DIODE_HIGH = "0.75 V"

WARNING = """> **DANGER** marks what will cause death or serious injury, **WARNING** what could; **CAUTION**
> what could cause minor or moderate injury (ANSI Z535.4's words). Read `boards/SAFETY.md` first.
>
> **WARNING** Work with the coil supply unplugged. Prove your meter on a known source, measure the
> reservoir and the coil bus (test points TP5 and TP6): below 5 V before hands go in, and
> prove the meter again. Local codes and licensed people come first; the mains side is no part of this.
"""


def sheet(
    game: str,
    board: str,
    wired: Connections,
    optos: Sequence[tuple[str, str]] = (),
    refused: Sequence[str] = (),
    stages: Mapping[str, Stage | None] | None = None,
    cues: Sequence[str] = (),
) -> str:
    """The whole sheet as Markdown; `optos` are opto switches, each with its supply.

    `refused` are sentences about what the sums of coils and supply refuse; they stand at its top.
    `stages` are the on-time stages by coil, None of a coil that no value passes; `cues` the
    names of the sounds, in the order of their bytes.
    """
    parts = [
        f"# Wiring of {game} on {board}\n",
        WARNING,
        *([_refused(refused)] if refused else []),
        _colours(),
        "## Switch matrix\n\nA diode at each switch, its band (cathode) towards the column wire.\n",
        _matrix(wired.switches, "switch"),
        "## Direct inputs\n\nBetween the wire and logic 0 V "
        f"({PLAIN['logic 0 V']}, connector D1 pin 17). No diode.\n",
        _direct(wired),
        *([_optos(optos)] if optos else []),
        "## Lamp matrix\n\nThe LED's anode towards the column wire, its resistor in series.\n",
        _matrix(wired.lamps, "lamp"),
        f"## Coils\n\n{COIL_SECTION} or more. Each has its own fuse; sizes by `inlane coil`.\n",
        _coils(wired, stages or {}),
        *([_fit(wired, stages)] if stages else []),
        *_one_winding(wired),
        displays.section(wired.displays),
        *([_sounds(cues)] if cues else []),
        _measuring(wired),
        _steps(),
    ]
    return "\n".join(parts)


def _refused(sentences: Sequence[str]) -> str:
    head = "> **WARNING** The coils are not to be powered as they are; `inlane check` refuses:\n>\n"
    return head + "\n".join(f"> - {sentence}" for sentence in sentences) + "\n"


def _colours() -> str:
    return (
        "## Colours\n\nTwo-letter codes of IEC 60757; the second pair is a ring or sleeve at both ends. Plain"
        f" {PLAIN['coil bus']} is the coil bus, plain {PLAIN['coil 0 V']} coil 0 V, plain"
        f" {PLAIN['logic 0 V']} logic"
        " 0 V. Green, yellow and green-yellow are used for nothing here.\n"
    )


def _table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join([*lines, *("| " + " | ".join(row) + " |" for row in rows)]) + "\n"


def _label(wire: Wire) -> str:
    return f"{wire.at} {wire.code}"


def _matrix(found: tuple[Crossing, ...], what: str) -> str:
    head = (what, "row", "column", "row wire", "column wire", "row wire in words", "column wire in words")
    rows = [
        (
            one.name + (f" ({one.note})" if one.note else ""),
            str(one.row),
            str(one.column),
            _label(one.row_wire),
            _label(one.column_wire),
            words(one.row_wire.code),
            words(one.column_wire.code),
        )
        for one in sorted(found, key=lambda one: (one.row, one.column))
    ]
    return _table(head, rows)


def _direct(wired: Connections) -> str:
    rows = [
        (one.name, str(one.number), _label(one.wire), words(one.wire.code))
        for one in sorted(wired.direct, key=lambda one: one.number)
    ]
    return _table(("switch", "input", "wire", "in words"), rows)


def _optos(optos: Sequence[tuple[str, str]]) -> str:
    return (
        "## Opto switches\n\nThe receiver takes the place of the contact, collector to the row wire (or the"
        " input), emitter to the column wire (or logic 0 V), with the diode of a contact. The board inverts"
        " them: a whole beam is an open switch. Without its supply one reads as closed, as if a ball stood in"
        " it. The supplies are fused, and are not the coil bus. No diode test is possible here.\n\n"
        + _table(("switch", "supply"), list(optos))
    )


def _coils(wired: Connections, stages: Mapping[str, Stage | None]) -> str:
    rows = [
        (
            one.name,
            one.kind,
            str(one.drive),
            _label(one.wire),
            words(one.wire.code),
            f"that of {one.shares}" if one.shares else _label(one.bus),
            "held" if one.pulse < 0 else f"{one.pulse} ms",
            f"{one.longest} ms" if one.longest else "may stay on",
            *([on_time_part(one.drive, stages.get(one.name))] if stages else []),
        )
        for one in sorted(wired.coils, key=lambda one: one.drive)
    ]
    head = ("coil", "class", "drive", "drive wire", "in words", "bus wire", "pulse", "longest")
    return _table((*head, "on-time stage") if stages else head, rows)


def on_time_part(drive: int, stage: Stage | None) -> str:
    """What a drive's on-time stage is fitted with, by designator: R3125 200 kΩ, ends a pulse …"""
    mark = f"{3 if drive <= DRIVES else 4}{drive:02}"
    if stage is None:
        return "**no value passes its pulse**"
    return f"R{mark}5 {stage.words}" if stage.ohms else f"C{mark}1: {stage.words}"


def _fit(wired: Connections, stages: Mapping[str, Stage | None]) -> str:
    """A sentence about the drives whose stage is not as drawn."""
    other = [one for one in _by_drive(wired) if stages.get(one.name) != STAGES[0]]
    if not other:
        return f"Each drive's on-time stage is as drawn, {STAGES[0]}.\n"
    parts = ", ".join(on_time_part(one.drive, stages.get(one.name)).partition(",")[0] for one in other)
    return (
        f"The on-time stages are fitted before power; as drawn, {STAGES[0]}, but for: {parts}. With a smaller"
        " one a coil drops too soon, with a larger one or a link it is held longer when the code is wrong.\n"
    )


def _one_winding(wired: Connections) -> list[str]:
    """Sentences about flippers with two drives on one winding."""
    pairs = [f"`{one.shares}` and `{one.name}`" for one in wired.coils if one.shares]
    if not pairs:
        return []
    return [
        f"**WARNING** One winding each: {'; '.join(pairs)}. Both drive wires go to its one end. To its other"
        " end goes one bus wire only, that of the strong drive; the held drive's bus pin is left open: two"
        " fuses side by side are one of twice the size, which does not protect the winding.\n"
    ]


def _sounds(cues: Sequence[str]) -> str:
    rows = [(str(number), f"0x{number:02X}", name) for number, name in enumerate(cues)]
    head = (
        "## Sound box\n\nA cue is one byte on J704 pin 1 (`boards/pico_matrix/sound_box.md`). A rule that"
        " names a cue before others moves the numbers: write this sheet anew then.\n\n"
    )
    return head + _table(("byte", "in hex", "cue"), rows)


def _measuring(wired: Connections) -> str:
    """Continuity and diode test, everything unplugged from the board."""
    lines = [
        "## Measure before power\n",
        "Connectors off the board, coil supply unplugged and measured below 5 V. Tick each line.\n",
        "Continuity (below 1 Ω from the connector to the far end, open to both neighbours):\n",
    ]
    lines += [f"- [ ] {_label(wire)} ({wire.what} {wire.number})" for wire in _lines(wired)]
    lines.append(
        f"\nDiode test, each switch closed by hand ({DIODE_LOW} to {DIODE_HIGH} one way, open the other):\n"
    )
    lines += [
        f"- [ ] {one.name}: red probe {one.row_wire.at}, black probe {one.column_wire.at}; then swapped"
        for one in wired.switches
    ]
    lines.append("\nDirect switches (below 1 Ω closed, open otherwise):\n")
    lines += [f"- [ ] {one.name}: {one.wire.at} to D1.17" for one in wired.direct]
    lines.append(
        "\nCoils, cold (the ohms you gave to `inlane coil`, within 10 %; open to every other coil):\n"
    )
    bus = {coil.name: coil.bus.at for coil in wired.coils}
    lines += [
        f"- [ ] {coil.name}: {bus[coil.shares or coil.name]} to {coil.wire.at}: ____ Ω"
        for coil in _by_drive(wired)
    ]
    lines.append(
        "\nClamps on the board, connectors still off (diode test, red probe on the drive,"
        " black on its bus pin:"
        " a pulsed drive's suppressor reads open both ways or above 1.5 V; a held drive's"
        " diode 0.3 V to 0.6 V):\n"
    )
    lines += [
        f"- [ ] drive {coil.drive} ({coil.name}): {coil.wire.at} to {coil.bus.at}"
        for coil in _by_drive(wired)
    ]
    return "\n".join(lines) + "\n"


def _lines(wired: Connections) -> list[Wire]:
    """Every wire once, by connector and pin."""
    crossings = (*wired.switches, *wired.lamps)
    found = {wire.at: wire for one in crossings for wire in (one.row_wire, one.column_wire)}
    found.update({one.wire.at: one.wire for one in wired.direct})
    found.update({one.wire.at: one.wire for one in wired.coils})
    found.update({one.bus.at: one.bus for one in wired.coils if not one.shares})
    return sorted(found.values(), key=lambda wire: (wire.connector, wire.pin))


def _by_drive(wired: Connections) -> list[Coil]:
    return sorted(wired.coils, key=lambda coil: coil.drive)


def _steps() -> str:
    lines = ["## First power, step by step\n"]
    for number, step in enumerate(STEPS, 1):
        lines.append(f"### {number}. {step.title}\n")
        lines.append(step.text + "\n")
        lines.append(f"Bench: `inlane replay {step.script} --game GAME --on PORT --real-time`\n")
    return "\n".join(lines)
