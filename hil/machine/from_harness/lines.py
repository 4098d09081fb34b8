"""Lines of a machine file from the parts of a harness: parts of one kind and name go into one line."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from hil.electrical.harness.judging import Finding, is_swapped
from hil.electrical.harness.reading import Item
from hil.machine.from_harness.parts import SIDES, Part, is_known, of_coil, of_switch
from hil.machine.from_tables.calls import Call, Constant
from hil.machine.from_tables.parts import one_or_all, places
from hil.machine.places import LINE

ROWS = 8
HELD_FROM = 25
INPUTS = {"start": 5, "coin": 6, "tilt": 8, "slam": 9, "door": 10}
MATRIX = ("lanes", "outlanes", "targets", "drops", "bumpers", "slings", "spinner", "hole", "orbit")

SEVERAL = ("bumpers",)  # kinds of which a line without a number has more than one

Wire = tuple[int, int]
BUTTONS = ((1, 3), (2, 4))  # direct inputs of the left and the right flipper: button, end of stroke
DRIVES, LAMPS, DIRECT = 24, 64, 16


class Placed(NamedTuple):
    """Where a line of the harness went: drives; or row and column, of a direct input row 0 and its number."""

    drives: tuple[int, ...] = ()
    wire: Wire | None = None


@dataclass
class Machine:
    """The lines so far, the wires and drives that are given out, and notes on what was decided.

    `placed`: by "file:line" of the harness, where its thing went.
    """

    lines: list[Call] = field(default_factory=list)
    notes: list[Finding] = field(default_factory=list)
    wires: set[Wire] = field(default_factory=set)
    windings: dict[tuple[float, float, int, str], str] = field(default_factory=dict)
    drive: int = 0
    placed: dict[str, Placed] = field(default_factory=dict)

    def refuse(self, item: Item, text: str) -> None:
        """A sentence about a line of the harness that finds no place."""
        self.notes.append(Finding(text, item.where, True))

    def note(self, item: Item, text: str) -> None:
        """A sentence about a line of the harness."""
        self.notes.append(Finding(text, item.where, False))

    def has(self, kind: str) -> bool:
        """Whether there is a line of this kind already."""
        return any(line.what == kind for line in self.lines)

    def drives(self, count: int = 1) -> list[int]:
        """The next drives."""
        self.drive += count
        return list(range(self.drive - count + 1, self.drive + 1))

    def winding(self, item: Item, base: str) -> Constant | None:
        """The name of a coil's winding; None while not all of it is measured."""
        key = _measured(item)
        if not all(key):
            return None
        name = self.windings.get(key)
        if name is None:
            name = (
                base.upper()
                if base.upper() not in self.windings.values()
                else f"{base.upper()}_{len(self.windings)}"
            )
            self.windings[key] = name
        return Constant(name)

    def free_wire(self) -> Wire:
        """The first place of the switch matrix that the harness does not use."""
        taken = ((row, column) for row in range(1, ROWS + 1) for column in range(1, LINE + 1))
        wire = next(place for place in taken if place not in self.wires)
        self.wires.add(wire)
        return wire


def make(items: Sequence[Item]) -> Machine:
    """The lines of a harness's switches, coils, flippers and lamps."""
    made = Machine()
    switches, coils = named_by_hand(
        [of_switch(item) for item in items if item.kind == "switch"],
        [of_coil(item) for item in items if item.kind == "coil"],
    )
    swapped = is_swapped(items)
    wires = {id(part.item): _wire(part.item, swapped) for part in switches}
    made.wires = {wire for wire in wires.values() if wire}
    for part in switches:
        if not wires[id(part.item)] and part.kind in (*MATRIX, "trough", "outhole", "shooter"):
            wires[id(part.item)] = wire = made.free_wire()
            made.note(part.item, f"switch '{part.item.name}' goes to row {wire[0]}, column {wire[1]}")
    for part in switches:
        place = wires[id(part.item)]
        if place:
            made.placed[part.item.where] = Placed(wire=place)
    _balls(made, switches, coils, wires)
    for group in _groups([part for part in switches if part.kind in MATRIX]):
        _playfield(made, group, coils, wires)
    _flippers(made, [item for item in items if item.kind == "flipper"], switches)
    _cabinet(made, switches, coils)
    _rest(made, coils)
    _lamps(made, [item for item in items if item.kind == "lamp"])
    return made


def named_by_hand(switches: list[Part], coils: list[Part]) -> tuple[list[Part], list[Part]]:
    """Parts as their words tell them, but for switches that name what they fire: a coil or a flipper."""
    known = {part.item.name for part in coils}
    fires = {part.item.fires: part for part in switches if part.item.fires in known}
    found = []
    for part in switches:
        if part.item.fires in fires and part.kind not in ("bumpers", "slings"):
            part = part._replace(kind="bumpers")
            fires[part.item.fires] = part
        elif part.item.fires and part.item.fires not in fires and part.kind not in ("eos", "button"):
            part = part._replace(kind="eos" if part.item.button == "" else "button")
        found.append(part)
    own = [
        part._replace(
            kind=fires[part.item.name].kind, base=fires[part.item.name].base, end=fires[part.item.name].end
        )
        if part.item.name in fires
        else part
        for part in coils
    ]
    return found, own


def _wire(item: Item, swapped: bool) -> Wire | None:
    """The item's place in our matrix; None: it has none that fits."""
    row, column = (item.column, item.row) if swapped else (item.row, item.column)
    return (row, column) if item.row and row <= ROWS and column <= LINE else None


def _groups(parts: Sequence[Part]) -> list[list[Part]]:
    """Parts of one kind and name together, in the order of their numbers; names without a number alone."""
    found: dict[tuple[str, str], list[Part]] = {}
    for part in parts:
        found.setdefault((part.kind, part.base), []).append(part)
    return [
        sorted(group, key=lambda part: (part.end in SIDES, part.end.zfill(3))) for group in found.values()
    ]


def _count(group: Sequence[Part]) -> list[object]:
    ends = [part.end for part in group]
    if len(group) == 1:
        return [1] if group[0].kind in SEVERAL else []
    return [tuple(ends)] if set(ends) == set(SIDES) else [len(group)]


def _take(
    coils: list[Part], kind: str, base: str = "", count: int = 1, ends: Sequence[str] = ()
) -> list[Part]:
    """Up to `count` coils of a kind, those that share a word with `base` first; they are taken out.

    They are in the order of `ends`: the left coil answers the left switch wherever the harness lists it.
    """
    words = set(base.split("_"))
    mine = [part for part in coils if part.kind == kind]
    mine.sort(key=lambda part: (not words & set(part.base.split("_")), part.end not in ends))
    taken = mine[:count]
    for part in taken:
        coils.remove(part)
    return sorted(taken, key=lambda part: ends.index(part.end) if part.end in ends else count)


def _coil(made: Machine, parts: Sequence[Part]) -> Call:
    item = parts[0].item
    drives = made.drives(len(parts))
    for part, drive in zip(parts, drives, strict=True):
        if part.item.kind in ("coil", "flipper"):
            made.placed[part.item.where] = Placed((drive,))
            if drive > DRIVES:
                made.refuse(
                    part.item, f"{part.item.kind} '{part.item.name}' finds no place: the board has {DRIVES}"
                )
    found = Call("Coil", [one_or_all(drives)])
    if len({_measured(part.item) for part in parts}) > 1:
        names = " and ".join(f"'{part.item.name}'" for part in parts)
        made.note(item, f"coils {names} are wound or fused differently, so their line has no winding")
        return found
    winding = made.winding(item, parts[0].base)
    if winding:
        found.given.append(winding)
    elif item.kind == "coil":
        made.note(item, f"coil '{item.name}' has no winding: measure its ohms, mH and gauge, and fuse it")
    return found


def _measured(item: Item) -> tuple[float, float, int, str]:
    """What a winding is made of."""
    return item.ohms, item.mh, item.gauge, item.fuse


def _balls(made: Machine, switches: list[Part], coils: list[Part], wires: dict[int, Wire | None]) -> None:
    home = [part for part in switches if part.kind == "trough"]
    hole = [part for part in switches if part.kind == "outhole"]
    eject = _coil(made, _take(coils, "trough") or [of_coil(switches[0].item)])
    if len(home) > 1:
        made.lines.append(Call("trough", [len(home)], {"at": _at(home, wires), "coil": eject}))
    else:
        at = wires[id((home + hole)[0].item)] if home + hole else made.free_wire()
        made.lines.append(Call("outhole", [], {"at": at, "coil": eject}))
    lane = [part for part in switches if part.kind == "shooter"]
    line = Call("shooter", [], {"at": wires[id(lane[0].item)] if lane else made.free_wire()})
    plunger = _take(coils, "shooter")
    if plunger:
        line.named["coil"] = _coil(made, plunger)
    made.lines.append(line)


def _at(group: Sequence[Part], wires: dict[int, Wire | None]) -> object:
    return places([wire for wire in (wires[id(part.item)] for part in group) if wire])


def _playfield(made: Machine, group: list[Part], coils: list[Part], wires: dict[int, Wire | None]) -> None:
    first = group[0]
    for part in group:
        if not is_known(part):
            made.note(part.item, f"switch '{part.item.name}' is taken for a target; no word tells what it is")
    kind = "lanes" if first.kind == "outlanes" else first.kind
    name = first.base if len(group) > 1 or not first.end else f"{first.base}_{first.end}"
    line = Call(kind, [name, *_count(group)], {"at": _at(group, wires)})
    if first.kind == "outlanes":
        line.named["drains"] = True
    needed = {
        "bumpers": ("bumpers", len(group)),
        "slings": ("slings", 2),
        "hole": ("hole", 1),
        "drops": ("reset", 1),
    }
    if kind == "slings" and (len(group) != len(SIDES) or made.has("slings")):
        line = Call("targets", line.given, line.named)
        made.note(first.item, f"'{first.item.name}' is no pair of slings, and is taken for a target")
    elif kind in needed:
        of, count = needed[kind]
        found = _take(coils, of, first.base, count, [part.end for part in group])
        if len(found) < count:
            line = Call("targets", line.given, line.named)
            text = f"'{first.item.name}' has no coil of its kind left, and is taken for a target"
            made.note(first.item, text)
        else:
            line.named["reset" if kind == "drops" else "coil"] = _coil(made, found)
            if kind == "slings":
                line.given = []  # the one pair has its name
    made.lines.append(line)


def _flippers(made: Machine, items: Sequence[Item], switches: Sequence[Part]) -> None:
    if not items:
        return
    sided = sorted((of_coil(item) for item in items), key=lambda part: "right" in part.item.name.lower())
    line = Call("flippers", [], {"strong": _coil(made, sided)})
    if all(item.winding == "single" for item in items):
        line.named["held"] = HELD_FROM
        hold = list(range(HELD_FROM, HELD_FROM + len(items)))
    else:
        hold = made.drives(len(items))
        line.named["hold"] = Call("Coil", [one_or_all(hold)])
    for part, drive in zip(sided, hold, strict=True):
        made.placed[part.item.where] = Placed((*made.placed[part.item.where].drives, drive))
    if len(items) == 1:
        line.named["sides"] = (next((side for side in SIDES if side in items[0].name.lower()), "left"),)
    made.lines.append(line)
    for part in switches:
        if part.kind in ("button", "eos"):
            second = len(items) > 1 and "right" in part.item.name.lower()
            number = BUTTONS[second][part.kind == "eos"]
            made.placed[part.item.where] = Placed(wire=(0, number))
            made.note(part.item, f"switch '{part.item.name}' goes to direct input {number} of the flippers")


def _cabinet(made: Machine, switches: Sequence[Part], coils: list[Part]) -> None:
    line = Call("cabinet")
    slots = 0
    for part in switches:
        if part.kind in INPUTS:
            number = INPUTS[part.kind] + (slots if part.kind == "coin" else 0)
            slots += part.kind == "coin"
            made.placed[part.item.where] = Placed(wire=(0, number))
            made.note(part.item, f"switch '{part.item.name}' goes to direct input {number}")
    if slots not in (0, 2):
        line.named["slots"] = min(slots, 2)
    for what in ("knocker", "meter", "lockout"):
        found = _take(coils, what)
        if found:
            line.named[what] = _coil(made, found)
    made.lines.append(line)


def _rest(made: Machine, coils: list[Part]) -> None:
    for group in _groups([part for part in coils if part.kind in ("chimes", "flashers")]):
        name = group[0].base
        made.lines.append(Call(group[0].kind, [name, len(group)], {"coil": _coil(made, group)}))
    for part in coils:
        if part.kind not in ("chimes", "flashers"):
            name = part.base + (f"_{part.end}" if part.end else "")
            made.lines.append(Call("coil", [name, _coil(made, [part])]))


def _lamps(made: Machine, items: Sequence[Item]) -> None:
    at = 0
    for group in _groups([of_coil(item)._replace(kind="lamps") for item in items]):
        count = len(group)
        name = group[0].base + ("" if count > 1 or not group[0].end else f"_{group[0].end}")
        place = (at // LINE + 1, at % LINE + 1)
        made.lines.append(Call("lamps", [name, *_count(group)], {"colour": "white", "at": place}))
        for number, part in enumerate(group, at):
            made.placed[part.item.where] = Placed(wire=(number // LINE + 1, number % LINE + 1))
            if number >= LAMPS:
                made.refuse(part.item, f"lamp '{part.item.name}' finds no place: the board has {LAMPS}")
        at += count
