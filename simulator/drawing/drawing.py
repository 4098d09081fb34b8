"""A drawing with each item at what it belongs to in the machine, and remarks on what does not fit."""

import math
from collections.abc import Callable, Iterable
from dataclasses import replace

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from simulator.drawing import touch
from simulator.drawing.geometry import Point, rotation
from simulator.drawing.items import Item, Reader, Remark
from simulator.drawing.machine import BALL_MM, Machine
from simulator.drawing.markup import parse
from simulator.drawing.parts import Part, Text
from simulator.drawing.pieces import Bat, Bumper, Flasher, Insert, Kicker, Mark, Path, Sling
from simulator.drawing.style import number

LAMP, KICK, FLASH, BALL, TO = "-lamp", "-kick", "-flash", "-ball", "-to-"
SWING = 50.0  # degrees of a flipper bat
Still = Part | Text


class Drawing:
    """One machine's drawing. `remarks` lists what does not fit, by line, then what is missing."""

    def __init__(self, data: bytes, file: str, machine: Machine) -> None:
        """Raises GameError: no SVG at all."""
        self.file = file
        self.machine = machine
        reader = Reader(parse(data, file))
        self.size = reader.size
        self.items = reader.items
        self.ball_radius = BALL_MM / 2
        self.still: list[Still] = []
        self.inserts: list[Insert] = []
        self.marks: list[Mark] = []
        self.bumpers: list[Bumper] = []
        self.slings: list[Sling] = []
        self.bats: list[Bat] = []
        self.kickers: list[Kicker] = []
        self.flashers: list[Flasher] = []
        self.points: dict[str, Point] = {}
        self.paths: dict[tuple[str, str], Path] = {}
        self.words: dict[str, list[Item]] = {}  # by the id of the insert they are written on
        self.remarks = reader.remarks
        for item in self.items:
            self._place(item)
        self.remarks.sort(key=lambda remark: remark.line)
        self._fill_slots()
        self._missing()

    def require_fit(self) -> None:
        """Raise GameError with every fatal remark, one a line, when there is one."""
        fatal = [remark for remark in self.remarks if remark.fatal]
        if fatal:
            first, *others = (f"{self.file}:{remark.line}: {remark.text}" for remark in fatal)
            where, _, text = first.partition(": ")
            raise GameError("\n".join([text, *others]), where)

    def placed_coils(self) -> set[str]:
        """Coils that are seen on the playfield."""
        rows: Iterable[Bumper | Sling | Kicker | Flasher]
        rows = (*self.bumpers, *self.slings, *self.kickers, *self.flashers)
        return {row.coil for row in rows} | {coil for bat in self.bats for coil in (bat.strong, bat.hold)}

    def placed_switches(self) -> set[str]:
        """Switches that can be clicked on the playfield."""
        rows: Iterable[Mark | Bumper | Sling] = (*self.marks, *self.bumpers, *self.slings)
        return {row.switch for row in rows}

    def placed_lamps(self) -> set[str]:
        """Lamps that are seen on the playfield."""
        return {insert.lamp for insert in self.inserts}

    @property
    def aim(self) -> Point:
        """A point above the flippers, to which the open side of things looks."""
        return self.size[0] / 2, self.size[1] * 0.78

    # One function for each group

    def _place(self, item: Item) -> None:
        x, y = item.box().middle if item.parts else (0.0, 0.0)
        if item.parts and item.name and not (0 <= x <= self.size[0] and 0 <= y <= self.size[1]):
            self._refuse(item, f"'{item.name}' lies off the playfield, at {x:.0f}, {y:.0f} mm")
        named: dict[str, Callable[[Item], None]] = {
            "sensor": self._sensor,
            "light": self._light,
            "coil": self._coil,
            "route": self._route,
        }
        if not item.parts:
            self._text(item)
        elif item.role in named:
            if item.name:
                named[item.role](item)
                self.still += item.texts if item.role != "light" else []
            else:
                self._refuse(
                    item, f"everything in group '{item.role}' has the id of what it is; this has none"
                )
        elif item.role == "elastic" and item.name:
            self._elastic(item)
        elif self._is_machines(item.name):
            self._refuse(
                item, f"'{item.name}' is in group '{item.role}', where nothing has the machine's names"
            )
        else:
            self.still += [*item.parts, *item.texts]

    def _text(self, item: Item) -> None:
        if item.role != "light":
            self.still += item.texts
            return
        for text in item.texts:
            for at, insert in enumerate(self.inserts):
                if math.dist((insert.x, insert.y), (text.x, text.y)) < 0.8 * insert.size:
                    on_it = (*insert.texts, text)
                    self.inserts[at] = replace(insert, texts=on_it)
                    self.words.setdefault(f"{insert.lamp}{LAMP}", []).append(item)
                    break
            else:
                self.still.append(text)

    def _sensor(self, item: Item) -> None:
        switch = self.machine.switches.get(item.name)
        if switch is None:
            self._unknown(item, item.name, self.machine.switches, "switch")
            return
        x, y = item.box().middle
        drops = item.name in self.machine.latches
        self.marks.append(Mark(item.name, tuple(item.parts), x, y, _reach(item), drops))
        meets = touch.in_front(item, self.aim) if switch.kind == "target" else (x, y)
        self.points.setdefault(item.name, meets)

    def _elastic(self, item: Item) -> None:
        switch = self.machine.switches.get(item.name)
        if switch is None:
            self._unknown(item, item.name, self.machine.switches, "switch")
            return
        coil = self.machine.reflexes.get(item.name, "")
        parts = tuple(item.parts)
        if switch.kind == "sling":
            upper, lower, out = touch.kicking_side(item)
            self.slings.append(Sling(item.name, coil, parts, upper, lower, out))
            away = touch.BALL + 6
            x, y = (upper[0] + lower[0]) / 2, (upper[1] + lower[1]) / 2
            self.points.setdefault(item.name, (x + out[0] * away, y + out[1] * away))
            return
        x, y = item.box().middle
        self.bumpers.append(Bumper(item.name, coil, parts, x, y, item.box().width / 2))
        self.points.setdefault(item.name, touch.below_round(item, self.aim))

    def _light(self, item: Item) -> None:
        x, y = item.box().middle
        name, suffix = _split(item.name, (LAMP, FLASH))
        if suffix == FLASH:
            if self._known(item, name, self.machine.coils, "coil"):
                self.flashers.append(Flasher(name, tuple(item.parts), x, y, _reach(item)))
        elif suffix != LAMP:
            hint = f"a lamp's insert has the id NAME{LAMP}, a flasher NAME{FLASH}"
            self._refuse(item, f"'{item.name}' is in group 'light'; {hint}")
        elif self._known(item, name, self.machine.lamps, "lamp"):
            colour = self.machine.lamps[name]
            insert = Insert(name, colour, tuple(item.parts), tuple(item.texts), x, y, _reach(item))
            self.inserts.append(insert)

    def _coil(self, item: Item) -> None:
        name, suffix = _split(item.name, (KICK,))
        points = item.points()
        start, end = points[0], points[-1]
        if suffix == KICK:
            if self._known(item, name, self.machine.coils, "coil"):
                self.kickers.append(Kicker(name, item.parts[0], start, end))
            return
        flipper = self.machine.bat(name)
        if flipper is None:
            self._unknown(item, name, [one.name for one in self.machine.flippers], "flipper")
            return
        try:
            swing = number(item.element.attributes.get("data-swing", str(SWING)))
        except ValueError:
            self._refuse(item, f"data-swing is '{item.element.attributes['data-swing']}'; degrees are given")
            return
        up = rotation(-swing if end[0] > start[0] else swing, *start).point(*end)
        self.bats.append(Bat(name, flipper.strong, flipper.hold, item.parts[0], start, end, up))
        self.points.setdefault(name, touch.on_bat(start, end))

    def _route(self, item: Item) -> None:
        known = self.machine.points()
        origin, to, goal = item.name.partition(TO)
        if to:
            if self._known(item, origin, known, "point of a route") and self._known(
                item, goal, known, "point of a route"
            ):
                points = tuple(item.points()[1:-1])
                self.paths[origin, goal] = Path(points, item.height < 0)
            return
        name, _ = _split(item.name, (BALL,))
        if self._known(item, name, known, "point of a route"):
            self.points[name] = item.box().middle

    # What does not fit

    def _fill_slots(self) -> None:
        """Slots without a switch and without a place: one ball behind the other, away from the player."""
        for device in self.machine.devices:
            for before, slot in zip(device.slots, device.slots[1:], strict=False):
                if slot in device.unseen and slot not in self.points and before in self.points:
                    x, y = self.points[before]
                    self.points[slot] = x, y - BALL_MM

    def _missing(self) -> None:
        machine = self.machine
        for name, switch in machine.switches.items():
            if switch.zone != "cabinet" and name not in self.placed_switches():
                self._note(f"switch '{name}' has no place in the drawing")
        for name in machine.lamps:
            if name not in self.placed_lamps():
                self._note(f"lamp '{name}' has no place in the drawing; its insert has the id '{name}{LAMP}'")
        for flipper in machine.flippers:
            if flipper.name not in {bat.name for bat in self.bats}:
                self._note(f"flipper '{flipper.name}' has no place in the drawing")
        for name in machine.points():
            if name not in self.points:
                text = f"the ball's routes lead to '{name}', which has no place in the drawing"
                self.remarks.append(Remark(1, text))

    def _is_machines(self, name: str) -> bool:
        """Whether an id is one that something of the machine has."""
        machine = self.machine
        stem, suffix = _split(name, (LAMP, KICK, FLASH))
        if suffix:
            return stem in machine.lamps or stem in machine.coils
        return name in machine.switches or machine.bat(name) is not None or name in machine.points()

    def _known(self, item: Item, name: str, names: Iterable[str], kind: str) -> bool:
        if name in names:
            return True
        self._unknown(item, name, names, kind)
        return False

    def _unknown(self, item: Item, name: str, names: Iterable[str], kind: str) -> None:
        self._refuse(item, f"there is no {kind} '{name}'{did_you_mean(name, list(names))}")

    def _refuse(self, item: Item, text: str) -> None:
        self.remarks.append(Remark(item.line, text))

    def _note(self, text: str) -> None:
        self.remarks.append(Remark(1, text, fatal=False))


def _split(name: str, suffixes: Iterable[str]) -> tuple[str, str]:
    """A name and which of the suffixes it had ("": none)."""
    for suffix in suffixes:
        if name.endswith(suffix):
            return name.removesuffix(suffix), suffix
    return name, ""


def _reach(item: Item) -> float:
    """How far the item reaches from its middle, without corners."""
    box = item.box()
    return max(box.width, box.height) / 2
