"""Converts a wiring harness to a wiring table; what does not fit is listed."""

import re
from collections.abc import Sequence

from hil.electrical.harness.judging import Finding, judge
from hil.electrical.harness.reading import Item

BOARD = 8
DIRECT = 16
DRIVES = 24
HELD_FROM = 25
HELD = 2


def convert(items: list[Item]) -> tuple[str, list[Finding]]:
    """The text of a wiring.py, and every finding; the text is valid only when nothing is refused."""
    findings = judge(items)
    switches, notes = _switches([item for item in items if item.kind == "switch"])
    lamps, more = _lamps([item for item in items if item.kind == "lamp"])
    coils, rest = _coils([item for item in items if item.kind in ("coil", "flipper")])
    drivers, last = _existing_driver([item for item in items if item.kind == "driver"])
    return _text(switches, lamps, coils, drivers), [*findings, *notes, *more, *rest, *last]


def is_swapped(items: Sequence[Item]) -> bool:
    """Whether the diodes' bands are at the rows, so that the old rows are our columns."""
    return any(item.diode == "to row" for item in items if item.kind == "switch" and item.row)


def _name(name: str) -> str:
    """A name for our tables: small letters, digits, points and underscores."""
    return re.sub(r"[^a-z0-9.]+", "_", name.lower()).strip("_.") or "unnamed"


def _switches(items: list[Item]) -> tuple[list[str], list[Finding]]:
    """Rows of SWITCHES. Rows and columns are swapped when the diodes' bands are at the rows: our columns are
    pulled to 0 V."""
    swapped = is_swapped(items)
    lines: list[str] = []
    found: list[Finding] = []
    direct = 0
    for item in items:
        row, column = (item.column, item.row) if swapped and item.row else (item.row, item.column)
        if not item.row or row > BOARD or column > BOARD:
            direct += 1
            if item.row:
                place = f"row {item.row}, column {item.column}"
                found.append(
                    _placed(
                        item, f"switch '{item.name}' ({place}) goes to direct input {direct}", direct, DIRECT
                    )
                )
            row, column = 0, direct
        lines.append(f'    ("{_name(item.name)}", "target", "playfield", {row}, {column}),')
    if swapped:
        found.append(
            Finding("the diodes' bands are at the rows: your rows are our columns", items[0].where, False)
        )
    return lines, found


def _placed(item: Item, text: str, number: int, most: int) -> Finding:
    """A note, or a refusal when the board has fewer places."""
    if number > most:
        return Finding(f"{item.kind} '{item.name}' finds no place: the board has {most}", item.where, True)
    return Finding(text, item.where, False)


def _lamps(items: list[Item]) -> tuple[list[str], list[Finding]]:
    """Rows of LAMPS in the order of the file, eight to a matrix row; the old places do not matter."""
    lines = []
    found = []
    for number, item in enumerate(items):
        if number >= BOARD * BOARD:
            found.append(_placed(item, "", number + 1, BOARD * BOARD))
        lines.append(f'    ("{_name(item.name)}", "white", {number // BOARD + 1}, {number % BOARD + 1}),')
    return lines, found


def _coils(items: list[Item]) -> tuple[list[str], list[Finding]]:
    lines: list[str] = []
    found: list[Finding] = []
    drive = held = 0
    for item in items:
        name = _name(item.name)
        drive += 1
        if item.kind == "flipper" and item.winding == "single":
            held += 1
            text = f"flipper '{item.name}' goes to drive {drive}, and held drive {held} on the same winding"
            found.append(_placed(item, text, held, HELD))
            lines.append(f'    ("{name}.strong", "flipper", 40, 60, 10, {drive}),')
            lines.append(f'    ("{name}.hold", "flipper", -1, 0, 0, {HELD_FROM - 1 + held}),')
            if drive > DRIVES:
                found.append(_placed(item, "", drive, DRIVES))
            continue
        kinds = {"flipper": ((".strong", "flipper", "40, 60, 10"), (".hold", "flipper", "-1, 0, 0"))}
        for end, kind, times in kinds.get(item.kind, (("", "queued", "30, 60, 300"),)):
            lines.append(f'    ("{name}{end}", "{kind}", {times}, {drive}),')
            drive += end == ".strong"
        if drive > DRIVES:
            found.append(_placed(item, "", drive, DRIVES))
    return lines, found


def _existing_driver(items: list[Item]) -> tuple[list[str], list[Finding]]:
    """Rows of KEPT, the inputs of an existing driver board (firmware/devices/existing_driver.py).

    Inputs that share a decoder are noted."""
    lines: list[str] = []
    found: list[Finding] = []
    shared: dict[int, list[Item]] = {}
    for item in items:
        active = 1 if item.level == "high" else 0
        lines.append(f'    ("{_name(item.name)}", {active}, {item.decoder}, {item.blanking}),')
        if item.decoder:
            shared.setdefault(item.decoder, []).append(item)
    for number, together in shared.items():
        names = ", ".join(f"'{item.name}'" for item in together)
        found.append(
            Finding(f"{names} share decoder {number}: only one of them at a time", together[0].where, False)
        )
    return lines, found


def _text(switches: list[str], lamps: list[str], coils: list[str], drivers: list[str]) -> str:
    return "\n".join(
        [
            '"""Made from a harness by `inlane wiring --harness`; set classes, zones, colours and times."""',
            "",
            "SWITCHES = (",
            "    # name, debounce class, zone, row, column; row 0: a direct input and its number",
            *switches,
            ")",
            "",
            "LAMPS = (",
            "    # name, colour, row, column",
            *lamps,
            ")",
            "",
            "COILS = (",
            "    # name, class, pulse, longest (0: may stay on), rest, drive",
            *coils,
            ")",
            "",
            *(
                [
                    "KEPT = (",
                    "    # input, active level, decoder (0: none), blanking fed within ms",
                    *drivers,
                    ")",
                    "",
                ]
                if drivers
                else []
            ),
            "REFLEXES = ()",
            "",
            "FLIPPERS = ()",
            "",
        ]
    )
