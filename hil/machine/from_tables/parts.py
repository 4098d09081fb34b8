"""Places, windings, coils and lamps of the tables as a machine file writes them."""

from collections.abc import Sequence

from hil.electrical.windings import SUPPLY_WORDS
from hil.game_tables import CoilRow
from hil.host_tables import Row
from hil.machine.expansion import Times
from hil.machine.from_tables.calls import Call, Constant
from hil.machine.from_tables.present import Present
from hil.machine.places import wires

CLAMP = 22.5


def places(found: Sequence[tuple[int, int]]) -> object:
    """The first place when the others follow it, else all of them."""
    first = found[0]
    return first if list(found) == wires(first, len(found), "") else tuple(found)


def one_or_all(numbers: Sequence[int]) -> object:
    """The first drive when the others follow it, else all of them."""
    following = list(range(numbers[0], numbers[0] + len(numbers)))
    return numbers[0] if list(numbers) == following else tuple(numbers)


class Windings:
    """The different windings of a machine, each under a name that its first coil gives."""

    def __init__(self, present: Present) -> None:
        self._names: dict[Row, str] = {}
        self._present = present

    def constant(self, coil: str, no_clamp: bool = False) -> Constant | None:
        """The name of a coil's winding; None when it is not described."""
        row = self._present.wound.get(coil)
        if row is None:
            return None
        key = (
            row.ohms,
            row.millihenries,
            row.gauge,
            row.fuse,
            row.insulation,
            CLAMP if no_clamp else row.zener_volts,
            row.watts,
        )
        if key not in self._names:
            self._names[key] = self._new(coil)
        return Constant(self._names[key])

    def _new(self, coil: str) -> str:
        words = [word for word in coil.replace(".", "_").split("_") if not word.isdigit()]
        word = next((word for word in reversed(words) if word not in ("left", "right")), "coil").upper()
        taken = list(self._names.values())
        return word if word not in taken else f"{word}_{len(taken)}"

    def lines(self) -> list[str]:
        """The lines that set them."""
        return [f"{name} = {_winding(*key).text()}" for key, name in self._names.items()]


def _winding(
    ohms: object, mh: object, awg: object, fuse: object, insulation: object, clamp: object, watts: object
) -> Call:
    if watts:
        load = {"watts": _short(watts), "fuse": fuse} | ({"clamp": clamp} if clamp != CLAMP else {})
        return Call("Load", [_short(ohms)], load)
    named = {"mh": _short(mh), "awg": awg, "fuse": fuse}
    named |= {"insulation": insulation} if insulation != "A" else {}
    named |= {"clamp": clamp} if clamp != CLAMP else {}
    return Call("Winding", [_short(ohms)], named)


def _short(number: object) -> object:
    return int(number) if isinstance(number, float) and number == int(number) else number


def supply(row: Row) -> Call:
    """The coil supply."""
    volts, ohms, smoothed, guarded, isolated, *limit = row
    words = (smoothed, guarded, isolated)
    named: dict[str, object] = {"ohms": ohms}
    usual = (True, False, True)
    for name, word, (yes, _no), expected in zip(
        ("smoothed", "guarded", "isolated"), words, SUPPLY_WORDS, usual, strict=True
    ):
        if (word == yes) != expected:
            named[name] = word == yes
    if limit:
        named["limit"] = _short(limit[0])
    return Call("Supply", [_short(volts)], named)


def coil(
    rows: Sequence[CoilRow], times: Times, windings: Windings, name: str = "", no_clamp: bool = False
) -> Call:
    """The coils of a line as one Coil(…); times that are not those of its kind are written."""
    found = Call("Coil", [one_or_all([row.drive for row in rows])])
    first, *_ = rows
    winding = windings.constant(first.name, no_clamp)
    if winding:
        found.given.append(winding)
    if name:
        found.named["name"] = name
    own = (("pulse", first.pulse_ms), ("longest", first.longest_ms), ("rest", first.rest_ms))
    for (what, value), usual in zip(own, times[1:4], strict=True):
        if value != usual:
            found.named[what] = value
    return found


def lamp(present: Present, names: Sequence[str]) -> Call | None:
    """The lamps of the same names as the line's switches, if there are such."""
    found = present.take_lamps(names)
    if not found:
        return None
    return Call("Lamp", [found[0].colour, places([(row.row, row.column) for row in found])])
