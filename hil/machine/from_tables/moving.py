"""Moves a game over: groups its tables, writes a machine file, expands it, compares every table."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import GameError
from hil.game_tables import SwitchRow
from hil.games import Game
from hil.host_tables import KeyGroup, Row
from hil.machine.expanding import expand
from hil.machine.from_tables import comparing, parts, present, rest, shots
from hil.machine.from_tables.calls import Call, printed
from hil.machine.from_tables.lines import Lines, groups
from hil.machine.tables import MachineTables

ABOUT = '"""{title}: each device once. `inlane machine` makes wiring.py and host/tables.py of it."""'


@dataclass(frozen=True)
class Moved:
    """The text of the machine file, what it gives, and every difference from the tables as they are."""

    text: str
    made: MachineTables
    differences: list[str]


def move(game: Game) -> Moved:
    """The machine file of a game's tables. Raises GameError when they do not fit together."""
    tables = present.of_game(game)
    windings = parts.Windings(tables)
    lines = Lines(tables, windings)
    calls = _calls(tables, windings, lines)
    supply = tables.supply
    title = game.name.replace("_", " ").capitalize()
    made = _expanded(_text(title, supply, windings, calls))
    given = {row.name: row for row in made.host.SHOTS}
    for call in calls:
        shots.adjust(call, lines.names.get(id(call), []), tables, given)
    text = _text(title, supply, windings, calls)
    made = _expanded(text)
    keys: tuple[KeyGroup, ...] | None = game.tables("keys").KEYS if game.has_tables("keys") else None
    found = comparing.wiring_differences(made.wiring, game.wiring)
    found += comparing.host_differences(made.host, tables.routes, keys)
    if tables.supply and tables.supply != made.host.SUPPLY:
        found.append(f"SUPPLY: is {tables.supply}, the machine file gives {made.host.SUPPLY}")
    return Moved(text, made, found)


def _calls(tables: present.Present, windings: parts.Windings, lines: Lines) -> list[Call]:
    """Every line: those that a ball search fires in its order, the others as their wires come."""
    kicked = list(rest.kickbacks(tables, windings))
    calls = [call for call in map(lines.of, groups(tables.switches)) if call]
    calls = _in_search_order(calls, tables, lines)
    direct: list[SwitchRow] = [row for row in tables.switches if row.zone == "cabinet"]
    if tables.wiring.FLIPPERS:
        calls.append(lines.flippers(direct))
    calls.append(lines.cabinet(direct))
    calls += [*kicked, *rest.chimes(tables, windings), *rest.coils(tables, windings)]
    return [*calls, *rest.displays(tables), *rest.lamps(tables)]


def _in_search_order(calls: list[Call], tables: present.Present, lines: Lines) -> list[Call]:
    """The lines whose coils are searched exchange places until they stand in the order of SEARCH."""
    order = list(tables.search)
    fires = tables.fires | {switch: row.coil for switch, row in tables.latches.items()}
    holes = [row for row in tables.devices if row.name != "trough"]
    fires |= {switch: row.coil for row in holes for switch in row.switches if switch}

    def place(call: Call) -> int:
        first, *_ = lines.names[id(call)]
        coil = fires.get(first, "")
        return order.index(coil) if coil in order else -1

    searched = [at for at, call in enumerate(calls) if place(call) >= 0]
    found = list(calls)
    for at, call in zip(searched, sorted((calls[at] for at in searched), key=place), strict=True):
        found[at] = call
    return found


def _text(title: str, supply: Row, windings: parts.Windings, calls: list[Call]) -> str:
    lines = [line for call in calls for line in printed(call)]
    head = [f"SUPPLY = {parts.supply(supply).text()}"] if supply else []
    constants = [*head, *windings.lines()]
    return "\n".join([ABOUT.format(title=title), "", *constants, "", "MACHINE = (", *lines, ")", ""])


def _expanded(text: str) -> MachineTables:
    """What a machine file gives. Raises GameError: it was made of tables that do not fit together."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "machine.py"
        path.write_text(text, encoding="utf-8")
        made, errors = expand(path, "host/machine.py")
    if made is None:
        raise GameError(f"the tables cannot be moved over: {errors[0].text}", errors[0].where)
    return made
