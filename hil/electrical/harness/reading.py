"""Parses the CSV of a wiring harness: one line for each switch, lamp, coil …; columns in any order.

kind      switch, lamp, coil, flipper, display, illumination (a circuit of general illumination) or driver (an
          input of a driver board that should be kept)
name      what you call it
row, column   its place in a matrix; row 0 (or empty) is a direct input, drive or line of its own
volts     measured at its supply, effective ones when it is not smooth; current: dc, ac or unsmoothed
amperes   of a lamp or a circuit of general illumination
ohms      cold; winding: dc, ac, strong and hold (joined at one end), single
mh, gauge inductance with the plunger in, wire gauge (AWG): what a winding's sums need besides ohms and fuse
diode     none, to supply (band at the supply), to drive, to row (band at the row wire), to column
common    plus or zero: the side that all of them share
steered   the other coil on the same wire behind a change-over relay
fuse      such as "2 slow"
button    logic, or coil current: what the cabinet button carries
switching transistor or thyristor: what switches a lamp
fires     of a switch: the coil that it fires at once, or the flipper whose button or end of stroke it is
chain     a word that all coils have whose supply wire goes on from one to the next
connector, pin, wire   the old connector, its pin and the colour of its wire
"""

import csv
import difflib
from dataclasses import dataclass, fields
from pathlib import Path

from firmware.base.errors import GameError, UsageError

CHOICES = {
    "kind": ("switch", "lamp", "coil", "flipper", "display", "illumination", "driver"),
    "current": ("", "dc", "ac", "unsmoothed"),
    "winding": ("", "dc", "ac", "strong and hold", "single"),
    "diode": ("", "none", "to supply", "to drive", "to row", "to column"),
    "common": ("", "plus", "zero"),
    "button": ("", "logic", "coil current"),
    "switching": ("", "transistor", "thyristor"),
}
NEEDED = ("kind", "name")


@dataclass(frozen=True)
class Item:
    """One line of the file; "" or 0 where a cell is empty. `where` is file and line."""

    kind: str
    name: str
    row: int = 0
    column: int = 0
    volts: float = 0.0
    current: str = ""
    ohms: float = 0.0
    winding: str = ""
    diode: str = ""
    common: str = ""
    steered: str = ""
    fuse: str = ""
    button: str = ""
    switching: str = ""
    mh: float = 0.0
    gauge: int = 0
    amperes: float = 0.0
    fires: str = ""
    chain: str = ""
    connector: str = ""
    pin: str = ""
    wire: str = ""
    where: str = ""


COLUMNS = tuple(field.name for field in fields(Item) if field.name != "where")
WHOLE = ("row", "column", "gauge")


def read(path: Path) -> list[Item]:
    """Parse the file. Raises UsageError or GameError with file and line."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise UsageError(f"{error.strerror}", str(path)) from None
    except UnicodeDecodeError:
        raise GameError("is not text in UTF-8", str(path)) from None
    table = csv.DictReader(text.splitlines())
    head = [name.strip().lower() for name in table.fieldnames or []]
    _check_head(head, path)
    table.fieldnames = head
    return [_item(row, f"{path}:{table.line_num}") for row in table]


def _check_head(head: list[str], path: Path) -> None:
    for name in head:
        if name not in COLUMNS:
            near = difflib.get_close_matches(name, COLUMNS, 1)
            hint = f"; did you mean '{near[0]}'?" if near else f"; there are {', '.join(COLUMNS)}"
            raise GameError(f"there is no column '{name}'{hint}", f"{path}:1")
    for name in NEEDED:
        if name not in head:
            raise GameError(f"the column '{name}' is missing", f"{path}:1")


def _item(row: "dict[str | None, str | list[str] | None]", where: str) -> Item:
    if None in row:
        raise GameError("this line has more fields than the first line has columns", where)
    cells = _Cells({str(key): str(value or "").strip() for key, value in row.items()}, where)
    if not cells.word("name"):
        raise GameError("this line has no name", where)
    return Item(
        kind=cells.word("kind"),
        name=cells.word("name"),
        row=cells.whole("row"),
        column=cells.whole("column"),
        volts=cells.number("volts"),
        current=cells.word("current"),
        ohms=cells.number("ohms"),
        winding=cells.word("winding"),
        diode=cells.word("diode"),
        common=cells.word("common"),
        steered=cells.word("steered"),
        fuse=cells.word("fuse"),
        button=cells.word("button"),
        switching=cells.word("switching"),
        mh=cells.number("mh"),
        gauge=cells.whole("gauge"),
        amperes=cells.number("amperes"),
        fires=cells.word("fires"),
        chain=cells.word("chain"),
        connector=cells.word("connector"),
        pin=cells.word("pin"),
        wire=cells.word("wire"),
        where=where,
    )


@dataclass(frozen=True)
class _Cells:
    """The cells of one line by column; a column that the file does not have is empty."""

    cells: dict[str, str]
    where: str

    def word(self, name: str) -> str:
        return _word(name, self.cells[name], self.where) if name in self.cells else ""

    def number(self, name: str) -> float:
        return _number(name, self.cells.get(name, ""), self.where)

    def whole(self, name: str) -> int:
        return int(self.number(name))


def _number(name: str, word: str, where: str) -> float:
    try:
        value = float(word or 0)
    except ValueError:
        raise GameError(f"'{word}' in column '{name}' is not a number", where) from None
    if not 0 <= value < 1e6 or (name in WHOLE and value != int(value)):
        raise GameError(f"{word} in column '{name}' cannot be", where)
    return value


def _word(name: str, word: str, where: str) -> str:
    allowed = CHOICES.get(name)
    if allowed is None:
        return word
    word = word.lower()
    if word not in allowed:
        near = difflib.get_close_matches(word, allowed, 1)
        hint = f"; did you mean '{near[0]}'?" if near else f"; it takes {', '.join(filter(None, allowed))}"
        raise GameError(f"'{word}' in column '{name}' is not known{hint}", where)
    return word
