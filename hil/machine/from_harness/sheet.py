"""The sheet of an old machine's wires: old connector, pin and colour, and where each goes on our board."""

from collections.abc import Iterator, Mapping, Sequence

from hil.electrical.harness.judging import Finding
from hil.electrical.harness.reading import Item
from hil.electrical.harness.windings import CLAMP, WOUND
from hil.electrical.sums.on_time import Stage
from hil.electrical.worksheets.colours import words
from hil.electrical.worksheets.connections import DRIVES, Wire, bus, wire
from hil.electrical.worksheets.tables import on_time_part
from hil.game_tables import CoilRow
from hil.machine.from_harness.lines import Machine, Placed

HEAD = "| {} | old connector, pin, wire | ours |\n|---|---|---|"
COILS = (
    "| coil | old connector, pin, wire | drive wire | bus wire | ohms | fuse | clamp | longest on |"
    " on-time stage |\n|---|---|---|---|---|---|---|---|---|"
)
OTHERS = """## What else is connected

| what | wires |
|---|---|
| coil supply | plus and coil 0 V, behind a main fuse of its own and the relay |
| relay | its contact in the coil supply, its coil on the supply guard |
| coin door | the interlock's two poles: one in the coil supply, one to the board |
| logic supply | 5 V and logic 0 V, which meets coil 0 V once, at the reservoir |
| displays | 5 V, logic 0 V, data, clock; the memory chip hangs on the same pair |

`boards/pico_matrix/guard.md` and its drawings have the circuit of each.
"""


def sheet(
    title: str,
    items: Sequence[Item],
    made: Machine,
    coils: Sequence[CoilRow],
    findings: Sequence[Finding],
    stages: Mapping[str, Stage | None],
) -> str:
    """The sheet as Markdown. `coils` are the rows of the wiring table that the machine file gives.

    `stages`: by coil of that table, the on-time stage that its drive needs.
    """
    refused = [finding.text for finding in findings if finding.refused]
    split = [finding.text for finding in findings if "split it" in finding.text]
    parts = [
        f"# The wires of {title}, old and ours\n",
        "> **WARNING** Coil supply unplugged, reservoir measured below 5 V, meter proved before and after:"
        " `boards/SAFETY.md` first.\n",
        *(["> **WARNING** Not to be energised:\n>\n" + _list(refused, "> ")] if refused else []),
        "## Coils\n",
        COILS,
        *_coils(items, made, {row.drive: row for row in coils}, stages),
        *(["\n## Supply wires to be split\n", _list(split)] if split else []),
        "\n## Switches\n",
        HEAD.format("switch"),
        *(_line(item, _switch_wires(made.placed[item.where])) for item in _placed(items, "switch", made)),
        "\n## Lamps\n",
        HEAD.format("lamp"),
        *(_line(item, _lamp_wires(made.placed[item.where])) for item in _placed(items, "lamp", made)),
        "",
        OTHERS,
        "## What was said of it\n",
        _list([str(finding) for finding in findings]),
    ]
    return "\n".join(parts) + "\n"


def _list(sentences: Sequence[str], before: str = "") -> str:
    return "\n".join(f"{before}- {one}" for one in sentences) + "\n"


def _placed(items: Sequence[Item], kind: str, made: Machine) -> Iterator[Item]:
    return (item for item in items if item.kind == kind and item.where in made.placed)


def _old(item: Item) -> str:
    return ", ".join(filter(None, (item.connector, item.pin, item.wire))) or "not written down"


def _shown(one: Wire) -> str:
    return f"{one.at} {one.code} ({words(one.code)})"


def _line(item: Item, wires: Sequence[Wire]) -> str:
    return f"| {item.name} | {_old(item)} | {'; '.join(_shown(one) for one in wires)} |"


def _switch_wires(placed: Placed) -> list[Wire]:
    row, column = placed.wire or (0, 0)
    return [wire("switch row", row), wire("switch column", column)] if row else [wire("direct", column)]


def _lamp_wires(placed: Placed) -> list[Wire]:
    row, column = placed.wire or (1, 1)
    return [wire("lamp row", row), wire("lamp column", column)]


def _coils(
    items: Sequence[Item], made: Machine, rows: dict[int, CoilRow], stages: Mapping[str, Stage | None]
) -> Iterator[str]:
    """A line a drive; a second drive on one winding has no bus wire of its own."""
    for item in items:
        if item.kind not in WOUND or item.where not in made.placed:
            continue
        for number, drive in enumerate(made.placed[item.where].drives):
            row = rows[drive]
            held = drive > DRIVES
            own = wire("held drive", drive - DRIVES) if held else wire("drive", drive)
            second = number > 0 and item.winding == "single"
            cells = (
                f"{item.name} ({row.name})",
                _old(item) if number == 0 else "the same coil",
                _shown(own),
                "that of the strong drive" if second else _shown(bus(drive)),
                f"{item.ohms:g}" if item.ohms else "**not measured**",
                item.fuse or "**none**",
                "fast diode" if held else f"{CLAMP:g} V suppressor",
                f"{row.longest_ms} ms" if row.longest_ms else "held",
                on_time_part(drive, stages[row.name]),
            )
            yield "| " + " | ".join(cells) + " |"
