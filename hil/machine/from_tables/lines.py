"""Groups the rows of present tables by name, and makes a line of a machine file of each group."""

from collections.abc import Callable, Sequence

from hil.game_tables import CoilRow, SwitchRow
from hil.host_tables import DeviceRow, OptionRow
from hil.machine import expansion as usual
from hil.machine.from_tables.calls import Call
from hil.machine.from_tables.parts import Windings, coil, lamp, one_or_all, places
from hil.machine.from_tables.present import NEVER, Present, end_of, entered_by, hit_by, last_word

CABINET = ("start", "coin", "tilt", "slam", "door", "pad", "service_key")
INPUTS = {"start": 5, "coins": 6, "tilt": 8, "slam": 9, "door": 10, "pad": 11, "service_key": 15}
SIDES = ("left", "right")

Group = list[SwitchRow]


def groups(switches: Sequence[SwitchRow]) -> list[Group]:
    """Switches that stand side by side and share a name before the last point, class and zone."""
    found: list[Group] = []
    for row in switches:
        if found and _key(found[-1][-1]) == _key(row) and "." in row.name:
            found[-1].append(row)
        else:
            found.append([row])
    return found


def base(name: str) -> str:
    """A name without what follows its last point."""
    return name.rpartition(".")[0] or name


def _key(row: SwitchRow) -> tuple[str, str, str]:
    return base(row.name), row.debounce_class, row.zone


class Lines:
    """Makes the lines; what a line has taken of lamps and coils is crossed out in `present`."""

    def __init__(self, present: Present, windings: Windings) -> None:
        self._present = present
        self._windings = windings
        self.names: dict[int, list[str]] = {}
        """The switches of each line, by the id of its call."""

    def of(self, group: Group) -> Call | None:
        """The line for one group; None: the flippers and the cabinet, which are made as one."""
        call = self._made(group)
        if call:
            self.names[id(call)] = [row.name for row in group]
        return call

    def _made(self, group: Group) -> Call | None:
        first = group[0]
        name = base(first.name) if len(group) > 1 else first.name
        if name == "trough":
            return self._trough(group)
        if first.name in self._present.wiring.TROUGH:
            return self._outhole(group)
        if first.zone == "cabinet":
            return self._wheel(group) if first.name.endswith(".index") else None
        by_class: dict[str, Callable[[str, Group], Call]] = {
            "lane": self._shooter,
            "bumper": self._bumpers,
            "sling": self._slings,
            "spinner": self._spinner,
            "rest": self._hole,
        }
        if first.debounce_class in by_class:
            return by_class[first.debounce_class](name, group)
        if first.debounce_class == "target":
            return self._targets(name, group)
        return self._rollovers(name, group)

    def _rollovers(self, name: str, group: Group) -> Call:
        first = group[0]
        if first.zone == "device":
            return Call("tunnel", [name], {"to": self._tunnel_end(name), "at": (first.row, first.column)})
        if [row.name for row in group] == [f"{name}.enter", f"{name}.made"]:
            return Call("ramp", [name], {"at": _at(group), "to": self._ramp_end(f"{name}.made")})
        if name.partition("_")[0] == "orbit":
            return self._several("orbit", name, group)
        found = self._several("lanes", name, group)
        if all(self._drains(row.name) for row in group):
            found.named["drains"] = True
        return found

    def _several(self, kind: str, name: str, group: Group) -> Call:
        ends = [last_word(row.name) for row in group]
        numbered = [str(number) for number in range(1, len(group) + 1)]
        count: list[object] = [] if len(group) == 1 else [len(group) if ends == numbered else tuple(ends)]
        found = Call(kind, [name, *count], {"at": _at(group)})
        lamps = lamp(self._present, [row.name for row in group])
        if lamps:
            found.named["lamps"] = lamps
        return found

    def _targets(self, name: str, group: Group) -> Call:
        latch = self._present.latches.get(group[0].name)
        if latch is None:
            return self._several("targets", name, group)
        found = self._several("drops", name, group)
        reset = latch.coil
        taken = self._present.take_coil(reset)
        if taken is None:
            found.named["reset"] = reset.removesuffix("_reset")
        else:
            found.named["reset"] = coil([taken], usual.RESET, self._windings)
        feature = self._present.search.get(reset, NEVER).feature
        if feature:
            found.named["feature"] = feature
        return found

    def _bumpers(self, name: str, group: Group) -> Call:
        found = self._several("bumpers", name, group)
        coils = self._coils([self._present.fires[row.name] for row in group])
        own = base(coils[0].name) if len(coils) > 1 else coils[0].name
        found.named["coil"] = coil(coils, usual.SNAP, self._windings, "" if own == name else own)
        return found

    def _slings(self, name: str, group: Group) -> Call:
        coils = self._coils([row.name for row in group])
        given: list[object] = [] if name == "sling" else [name]
        return Call("slings", given, {"at": _at(group), "coil": coil(coils, usual.SNAP, self._windings)})

    def _spinner(self, name: str, group: Group) -> Call:
        found = Call("spinner", [name], {"at": _at(group)})
        lamps = lamp(self._present, [name])
        if lamps:
            found.named["lamp"] = lamps
        return found

    def _hole(self, name: str, group: Group) -> Call:
        device = self._device_of(group[0])
        count: list[object] = [] if len(group) == 1 else [len(group)]
        found = Call("hole", [name, *count], {"at": _at(group)})
        found.named["coil"] = coil(self._coils([device.coil]), usual.EJECT, self._windings)
        lamps = lamp(self._present, [name])
        if lamps:
            found.named["lamp"] = lamps
        search = self._present.search.get(device.coil, NEVER).first
        own = {
            "room": (len(device.switches), len(group)),
            "search": (search, 1),
            "to": (last_word(end_of(self._present.steps[device.way_out])), "left"),
            "roll": (device.roll, 120),
        }
        found.named |= {what: value for what, (value, default) in own.items() if value != default}
        return found

    def _trough(self, group: Group) -> Call:
        seen = [row for row in group if row.name != "trough.jam"]
        jam = [(row.row, row.column) for row in group if row.name == "trough.jam"]
        found = Call("trough", [len(seen)], {"at": _at(seen)})
        if jam:
            found.named["jam"] = jam[0]
        found.named["coil"] = coil(self._coils(["trough_eject"]), usual.EJECT, self._windings)
        if len(seen) != self._present.wiring.BALLS:
            found.named["balls"] = self._present.wiring.BALLS
        return found

    def _outhole(self, group: Group) -> Call:
        (hole,) = group
        found = Call("outhole", [], {"at": _at(group)})
        found.named["coil"] = coil(self._coils([self._device_of(hole).coil]), usual.EJECT, self._windings)
        return found

    def _device_of(self, switch: SwitchRow) -> DeviceRow:
        return next(row for row in self._present.devices if switch.name in row.switches)

    def _shooter(self, name: str, group: Group) -> Call:
        found = Call("shooter", [], {"at": _at(group)})
        plunger = self._coils(["auto_plunger"] if "auto_plunger" in self._present.coils else [])
        if plunger:
            found.named["coil"] = coil(plunger, usual.PLUNGER, self._windings)
        found.named |= plunged_over(self._present)
        return found

    def _wheel(self, group: Group) -> Call:
        (index,) = group
        name = base(index.name)
        wheel = next(row for row in self._present.wheels if row.switch == index.name)
        at = index.column if index.is_direct else (index.row, index.column)
        found = Call("wheel", [name, wheel.stops], {"at": at})
        found.named["motor"] = coil(self._coils([f"{name}_motor"]), usual.MOTOR, self._windings)
        lamps = lamp(self._present, [f"{name}.{stop}" for stop in range(1, wheel.stops + 1)])
        if lamps:
            found.named["lamps"] = lamps
        if wheel.starts_at:
            found.named["start"] = wheel.starts_at
        return found

    def flippers(self, switches: Sequence[SwitchRow]) -> Call:
        """The flippers' line."""
        rows = self._present.flippers
        strongs, holds = self._coils([row.strong for row in rows]), self._coils([row.hold for row in rows])
        one_winding = holds[0].drive > 24
        found = Call(
            "flippers", [], {"strong": coil(strongs, usual.STRONG, self._windings, no_clamp=one_winding)}
        )
        if one_winding:
            found.named["held"] = one_or_all([row.drive for row in holds])
        else:
            found.named["hold"] = coil(holds, usual.HOLD, self._windings)
        first, *_ = rows
        places_of = {row.name: row.column for row in switches}
        for what, name, default in (("buttons", first.button, 1), ("eos", first.stroke_switch, 3)):
            if places_of[name] != default:
                found.named[what] = places_of[name]
        sides = tuple(last_word(row.button) for row in rows)
        if sides != SIDES:
            found.named["sides"] = sides
        return found

    def cabinet(self, switches: Sequence[SwitchRow]) -> Call:
        """The cabinet's line."""
        found = Call("cabinet")
        first: dict[str, int] = {}
        for row in switches:
            word = base(row.name)
            if word in CABINET:
                first.setdefault("coins" if word == "coin" else word, row.column)
        found.named |= {what: column for what, column in first.items() if INPUTS[what] != column}
        players = getattr(self._present.wiring, "PLAYERS", 0)
        if players:
            found.named["players"] = players
        slots = sum(base(row.name) == "coin" for row in switches)
        if slots != 2:
            found.named["slots"] = slots
        for what, name, times in (
            ("knocker", "knocker", usual.KNOCKER),
            ("meter", "coin_meter", usual.METER),
            ("lockout", "coin_lockout", usual.MOTOR),
        ):
            if name in self._present.coils:
                found.named[what] = coil(self._coils([name]), times, self._windings)
        return found

    def _coils(self, names: Sequence[str]) -> list[CoilRow]:
        return [self._present.coils.pop(name) for name in names]

    def _drains(self, switch: str) -> bool:
        """Whether a shot that hits this switch goes on to the drain."""
        for shot in self._present.shots.values():
            if switch in map(hit_by, shot.steps):
                return shot.steps[-1] == ("go", "drained")
        return False

    def _ramp_end(self, switch: str) -> str:
        """The lane behind a ramp's second switch, else the side of the flipper it ends at."""
        for shot in self._present.shots.values():
            hits = [hit for hit in map(hit_by, shot.steps) if hit is not None]
            if switch in hits:
                after = hits[hits.index(switch) + 1 :]
                return str(after[0]) if after else last_word(end_of(shot.steps))
        return "right"

    def _tunnel_end(self, switch: str) -> str:
        """The hole that a ball enters after this switch."""
        for steps in self._present.steps.values():
            ends = [device for device in map(entered_by, steps) if device is not None]
            if ends and switch in map(hit_by, steps):
                return str(ends[0])
        return switch


def plunged_over(present: Present) -> dict[str, object]:
    """What the shooter's line says of the lanes that a plunge leads over; nothing when it is another way."""
    lanes, option = _picked(present)
    if len(lanes) < 2 or option is None:
        return {}
    firsts = [first for first, *_ in (present.steps[lane] for lane in lanes[1:])]
    over = {base(str(hit_by(first))) for first in firsts if hit_by(first) is not None}
    if len(over) != 1:
        return {}
    found: dict[str, object] = {"over": over.pop()}
    found |= {"usual": option.usual} if option.usual != 1 else {}
    usual_weights = (1, *[2] * (len(lanes) - 1))
    return found | ({"weights": option.weights} if option.weights != usual_weights else {})


def _picked(present: Present) -> tuple[Sequence[str], OptionRow | None]:
    """The routes that a served ball is led to by the first option of the plunge, and that option."""
    plunge = present.shots.get("plunge")
    for option in plunge.options[:1] if plunge else ():
        match present.steps.get("served", ()):
            case (_place, ("pick", option.name, tuple(routes))):
                return routes, option
    return (), None


def _at(group: Group) -> object:
    return places([(row.row, row.column) for row in group])
