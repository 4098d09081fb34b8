"""Checks whether a machine's wiring harness fits our boards: a sentence for each note or refusal."""

from collections.abc import Iterator
from dataclasses import dataclass

from firmware.base.errors import UsageError
from hil.electrical.harness.reading import Item
from hil.electrical.sums import fuse, supply
from hil.electrical.sums.drive import Drive, Feed
from hil.electrical.sums.sizing import least_current

MOST_ROWS = 8
MOST_COLUMNS = 16
DISPLAY_VOLTS = 60.0
LAMP_VOLTS = 12.0


@dataclass(frozen=True)
class Finding:
    """One sentence about a line; what is refused must be changed before a table is written."""

    text: str
    where: str
    refused: bool

    def __str__(self) -> str:
        return f"{self.where}: {'' if self.refused else 'note: '}{self.text}"


def judge(items: list[Item]) -> list[Finding]:
    """Check every line, then the whole; findings in this order."""
    found = []
    for item in items:
        for text, refused in _of_item(item):
            found.append(Finding(text, item.where, refused))
    found += _of_all(items)
    return found


def _of_item(item: Item) -> Iterator[tuple[str, bool]]:
    if item.kind in ("coil", "flipper"):
        yield from _coil(item)
    if item.kind == "flipper":
        yield from _flipper(item)
    elif item.kind == "lamp":
        yield from _lamp(item)
    elif item.kind == "switch":
        yield from _switch(item)
    elif item.kind == "display":
        yield from _display(item)
    elif item.kind == "driver":
        yield from _driver(item)


def _coil(item: Item) -> Iterator[tuple[str, bool]]:
    who = f"{item.kind} '{item.name}'"
    if item.common == "zero":
        yield f"{who} has its common side on 0 V; our drives switch 0 V, so give its other side the bus", True
    if item.steered:
        yield f"{who} shares its wire with '{item.steered}' behind a relay; give each its own drive", True
    if item.winding == "ac" or item.current == "ac":
        yield f"{who} is wound for, or fed with, AC; on DC it burns: fit one wound for DC", True
    if item.current == "unsmoothed":
        yield f"{who} runs from an unsmoothed bus; our clamps and sums need a reservoir: add one", False
    if item.diode == "to drive":
        yield f"the diode at {who} has its band at the drive and would short it: turn it round", True
    if item.diode in ("", "none"):
        yield f"{who} has no diode of its own; the board's clamp is the only one", False
    if item.volts and supply.hazardous(item.volts * 1.1, item.current not in ("ac", "unsmoothed")):
        how = f" {item.current}" if item.current in ("ac", "unsmoothed") else ""
        yield (
            f"{who} runs from {item.volts:g} V{how}, which is dangerous to touch: covers, interlock,"
            " discharge",
            False,
        )
    yield from _fuse(item, who)


def _fuse(item: Item, who: str) -> Iterator[tuple[str, bool]]:
    if not item.fuse:
        yield f"{who} has no fuse of its own: fit one, sized by 'inlane coil'", False
        return
    try:
        chosen = fuse.parse(item.fuse)
    except UsageError as error:
        yield error.text, True
        return
    if item.ohms and item.volts and item.winding != "strong and hold":
        drive = Drive(item.name, item.ohms, Feed(item.volts), 0.03, 3.0, fuse=chosen)
        if fuse.opening(chosen, lambda seconds: least_current(drive, seconds)) is None:
            yield (
                f"the {chosen} fuse of {who} would not open when it is locked on with"
                f" {item.volts / item.ohms:.1f} A: fit a smaller one",
                True,
            )


def _flipper(item: Item) -> Iterator[tuple[str, bool]]:
    if item.button == "coil current":
        yield (
            f"the cabinet button of flipper '{item.name}' carries its coil current: put the button"
            " on a direct"
            " input and the coil on drives",
            True,
        )
    if item.winding == "strong and hold":
        yield (
            f"flipper '{item.name}' has two windings: two drives, the end-of-stroke switch on an input",
            False,
        )
    elif item.winding == "single":
        yield (
            f"flipper '{item.name}' has one winding: a strong drive, and a held drive (PWM) beside it",
            False,
        )
    else:
        yield f"say how flipper '{item.name}' is wound: strong and hold, or single", True


def _lamp(item: Item) -> Iterator[tuple[str, bool]]:
    if item.switching == "thyristor":
        yield (
            f"lamp '{item.name}' hangs on a thyristor, which never goes out on smoothed DC: move"
            " it to our matrix",
            True,
        )
    elif item.current in ("ac", "unsmoothed"):
        yield (
            f"lamp '{item.name}' is fed with {item.current} current; our matrix needs smooth 12 V and LEDs",
            True,
        )
    elif item.volts and item.volts != LAMP_VOLTS:
        yield f"lamp '{item.name}' is for {item.volts:g} V; our matrix feeds 12 V: fit a 12 V LED", False


def _switch(item: Item) -> Iterator[tuple[str, bool]]:
    if item.button == "coil current":
        yield f"switch '{item.name}' carries a coil's current; it must carry logic only", True
    if not item.row:
        return
    if item.row > MOST_ROWS or item.column > MOST_COLUMNS or not item.column:
        yield (
            f"switch '{item.name}' is at row {item.row}, column {item.column}; at most {MOST_ROWS} rows and"
            f" {MOST_COLUMNS} columns can be read",
            True,
        )
    if item.diode in ("", "none"):
        yield f"switch '{item.name}' has no diode: three closed switches may read as four", False
    if item.diode in ("to supply", "to drive"):
        yield f"the diode of switch '{item.name}' is 'to row' or 'to column', not '{item.diode}'", True


def _display(item: Item) -> Iterator[tuple[str, bool]]:
    if item.volts > DISPLAY_VOLTS:
        yield (
            f"display '{item.name}' runs from {item.volts:g} V, which can kill: take it and its"
            " supply out and fit"
            " our displays",
            True,
        )


def _driver(item: Item) -> Iterator[tuple[str, bool]]:
    if not item.level:
        yield f"say which level, high or low, switches input '{item.name}' of the kept board on", True
    if item.volts > 5.5:
        yield f"input '{item.name}' of the kept board takes {item.volts:g} V; our outputs give 5 V", True


def _of_all(items: list[Item]) -> Iterator[Finding]:
    """Findings about several lines: duplicate names and places, diodes in both directions."""
    names: dict[str, Item] = {}
    places: dict[tuple[str, int, int], Item] = {}
    for item in items:
        if item.name in names and names[item.name].kind == item.kind:
            yield Finding(f"{item.kind} '{item.name}' is listed twice", item.where, True)
        names.setdefault(item.name, item)
        place = (item.kind, item.row, item.column)
        if item.kind in ("switch", "lamp") and item.row:
            if place in places:
                yield Finding(
                    f"{item.kind}s '{places[place].name}' and '{item.name}' are both at row {item.row},"
                    f" column {item.column}",
                    item.where,
                    True,
                )
            places[place] = item
    directions = {item.diode for item in items if item.kind == "switch" and item.row and "to " in item.diode}
    if len(directions) > 1:
        where = next(item.where for item in items if item.kind == "switch" and item.row)
        yield Finding(
            "the diodes of the switch matrix point both ways; turn the fewer ones round", where, True
        )
