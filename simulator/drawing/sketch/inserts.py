"""Lamps: beside the switch of the same name, else in rows in the middle or on the apron; flashers."""

import re

from simulator.drawing.colours import LAMPS, blend, hexadecimal
from simulator.drawing.geometry import Point
from simulator.drawing.machine import Machine
from simulator.drawing.sketch.playfield import rows
from simulator.drawing.sketch.sheet import FAINT, Sheet, fitting, spread, words_of
from simulator.drawing.sketch.table import MIDDLE

AGAIN = ("again", "shoot_again")
ON_APRON = ("start", "tilt", "ball_in_play", "rollover", "game_over", "match", "high_score", "credits")
APRON_AT: Point = (44, 1032)
APRON_STEP, APRON_ROOM = 54, 5
COLUMN, SINGLES, FAMILY = 46, 47, 28  # mm from insert to insert, from a row to the next
FIRST, LAST = 500, 730  # the rows of the panel
WIDE = 6  # inserts of a row
FLASHERS: list[Point] = [(88, 214), (378, 214), (140, 478), (326, 478), (62, 520), (404, 520), (233, 480)]


def place(sheet: Sheet, machine: Machine) -> None:
    """Place every lamp and flasher."""
    spots = {_plain(name): spot for name, spot in sheet.insert_spots.items()}
    apron = [lamp for lamp in machine.lamps if lamp in ON_APRON][:APRON_ROOM]
    rest: list[str] = []
    for family in rows(lamp for lamp in machine.lamps if not sheet.has_insert(lamp)).values():
        near_shot = [spots[_plain(lamp)] for lamp in family if _plain(lamp) in spots]
        if family[0] in AGAIN:
            _labelled(sheet, machine, family[0], (MIDDLE, 958))
        elif family[0] in apron:
            x = APRON_AT[0] + apron.index(family[0]) * APRON_STEP
            _labelled(sheet, machine, family[0], (x, APRON_AT[1]))
        elif len(near_shot) == len(family) and not any(near(sheet, spot, 17) for spot in near_shot):
            for lamp, spot in zip(family, near_shot, strict=True):
                _insert(sheet, machine, lamp, spot)
        else:
            rest += family
    _panel(sheet, machine, rest)
    _flashers(sheet, machine)


def near(sheet: Sheet, spot: Point, gap: float) -> bool:
    """Whether something lies within `gap` mm of a spot."""
    return any(abs(spot[0] - x) < gap and abs(spot[1] - y) < gap for x, y in sheet.taken)


def _plain(name: str) -> str:
    """A name without the characters in which spellings differ: orbit_left and orbit.left are one."""
    return ".".join(sorted(re.split(r"[._]", name)))


def _panel(sheet: Sheet, machine: Machine, lamps: list[str]) -> None:
    """Rows in the middle: single lamps with their names below, then a row for each family of lamps."""
    singles, families = _lines(lamps)
    total = SINGLES * len(singles) + FAMILY * len(families)
    squeeze = min(1, (LAST - FIRST) / max(1, total))
    y: float = max(FIRST, LAST - total)
    for line in singles:
        for lamp, x in zip(line, spread(len(line), MIDDLE, COLUMN), strict=True):
            _labelled(sheet, machine, lamp, (x, y))
        y += SINGLES * squeeze
    for line in families:
        xs = list(spread(len(line), MIDDLE, min(COLUMN, FAMILY + 2)))
        for lamp, x in zip(line, xs, strict=True):
            _insert(sheet, machine, lamp, (x, y), named=False)
        words = words_of(re.sub(r"[._]?\d+$", "", line[0]))
        sheet.text("light", words, xs[0] - 16, y, fitting(words, 70), FAINT, "end")
        y += FAMILY * squeeze


def _lines(lamps: list[str]) -> tuple[list[list[str]], list[list[str]]]:
    """Lamps alone, and families, in rows of at most WIDE."""
    families = list(rows(lamps).values())
    alone = [family[0] for family in families if len(family) == 1]
    many = [family for family in families if len(family) > 1]
    return _rows_of(alone), [row for family in many for row in _rows_of(family)]


def _rows_of(lamps: list[str]) -> list[list[str]]:
    count = -(-len(lamps) // WIDE)
    wide = -(-len(lamps) // max(1, count))
    return [lamps[at : at + wide] for at in range(0, len(lamps), max(1, wide))]


def _insert(sheet: Sheet, machine: Machine, lamp: str, at: Point, named: bool = True) -> None:
    """An insert, with its number on it; one without a number and without a switch is `named` below."""
    sheet.insert(lamp, machine.lamps[lamp], *at)
    number = re.search(r"[._](\d+)$", lamp)
    if number:
        sheet.text("light", number[1], *at, 11, "#d8d0bc")
    elif named and lamp not in sheet.places:
        sheet.caption(lamp, at[0], at[1] + 17, COLUMN - 2, "light")


def _labelled(sheet: Sheet, machine: Machine, lamp: str, at: Point) -> None:
    sheet.insert(lamp, machine.lamps[lamp], *at)
    sheet.caption(lamp, at[0], at[1] + 17, COLUMN - 2, "light")


def _flashers(sheet: Sheet, machine: Machine) -> None:
    names = [name for name, kind in machine.coils.items() if kind == "flasher"]
    spots = [spot for spot in FLASHERS if not near(sheet, spot, 20)]
    for name, (x, y) in zip(names, spots, strict=False):
        fill = hexadecimal(blend(LAMPS["white"], (0, 0, 0), 0.55))
        sheet.add("light", "circle", id=f"{name}-flash", cx=x, cy=y, r=8, fill=fill)
        sheet.taken.append((x, y))
