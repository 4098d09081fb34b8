"""What lines of a machine file cannot have together: a place or a name twice, a name that no line has."""

from collections.abc import Iterable

from hil.game_tables import LampRow, SwitchRow
from hil.machine.complaints import Complaints, advice
from hil.machine.expansion import Block, Expansion
from hil.machine.places import exists

Blocks = Iterable[Block[SwitchRow]] | Iterable[Block[LampRow]]


def find(made: Expansion, complaints: Complaints) -> None:
    """Complain about everything that the lines do to each other.

    What is missing is looked for only when no line was left out for a mistake of its own.
    """
    is_whole = not complaints.found
    _matrix("switch", "SWITCHES", made.switches, complaints)
    _matrix("lamp", "LAMPS", made.lamps, complaints)
    coils = [(line, row.name, f"drive {row.drive}") for line, row in made.coils]
    _once("coil", coils, complaints)
    _once("shot", [(line, row.name, f"shot {row.name}") for line, row in made.shots], complaints)
    if is_whole:
        _references(made, complaints)
    if is_whole and not made.home:
        complaints.add(1, "there is no trough(…) and no outhole(…): no line holds the balls")


def _matrix(
    kind: str,
    table: str,
    blocks: Blocks,
    complaints: Complaints,
) -> None:
    rows = [(block.line, row) for block in blocks for row in block.rows]
    for line, row in rows:
        if not exists(table, row.row, row.column):
            words = _place(table, row.row, row.column)
            complaints.add(line, f"{kind} '{row.name}' has the place '{words}', which no board has")
    _once(kind, [(line, row.name, _place(table, row.row, row.column)) for line, row in rows], complaints)


def _place(table: str, row: int, column: int) -> str:
    if row:
        return f"row {row}, column {column}"
    return f"direct input {column}" if table == "SWITCHES" else f"chain {column}"


def _once(kind: str, rows: Iterable[tuple[int, str, str]], complaints: Complaints) -> None:
    names: dict[str, int] = {}
    places: dict[str, tuple[int, str]] = {}
    for line, name, place in rows:
        if name in names:
            complaints.add(line, f"{kind} '{name}' is there already, in line {names[name]}")
        elif place in places:
            first, other = places[place]
            complaints.add(line, f"{kind} '{name}' has {place}, which '{other}' in line {first} has")
        names.setdefault(name, line)
        places.setdefault(place, (line, name))


def _references(made: Expansion, complaints: Complaints) -> None:
    switches = [row.name for block in made.switches for row in block.rows]
    known = {
        "switches": switches,
        "lanes": sorted({name.rpartition(".")[0] or name for name in switches}),
        "devices": [row.name for row in made.devices],
        "drops": [
            coil.removesuffix("_reset")
            for coil in (row.name for _line, row in made.coils)
            if coil.endswith("_reset")
        ],
    }
    for line, what, name, table in made.references:
        if name not in known[table]:
            near = advice(name, known[table])
            complaints.add(line, f"{what} names '{name}', which no line of the machine gives{near}")
