"""From a machine file to its tables: each line gives its rows, then ids are put in the order of the wires."""

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path

from firmware.base.errors import GameError, InlaneError
from hil.electrical import windings
from hil.game_tables import CoilRow, HeatRow, LampRow, SwitchRow
from hil.host_tables import Row
from hil.machine import conflicts, keys
from hil.machine.complaints import Complaints, RefusedLine
from hil.machine.expansion import Block, Expansion, Wound
from hil.machine.kinds import KINDS
from hil.machine.reading import Line, MachineFile, read
from hil.machine.records import Load, Supply
from hil.machine.tables import HostTables, MachineTables, WiringTables

FILE = "host/machine.py"  # in the game's folder
NO_LINE = Line("machine", {}, 1)


def expand(path: Path, shown: str) -> tuple[MachineTables | None, list[GameError]]:
    """The tables that a machine file gives, or every complaint. Raises GameError: no file, or no Python."""
    file = read(path, shown, KINDS)
    made = collect(file.lines, file.complaints)
    conflicts.find(made, file.complaints)
    wound = _wound(file, made)
    errors = file.complaints.errors()
    if errors:
        return None, errors
    try:
        return tables(made, file.supply, wound), []
    except InlaneError as error:
        return None, [GameError(error.text, error.where or shown)]


def collect(lines: Sequence[Line], complaints: Complaints) -> Expansion:
    """What the lines give; a line that refuses its arguments is a complaint."""
    made = Expansion(NO_LINE)
    for line in lines:
        made.line = line
        _run(made, complaints, partial(KINDS[line.kind], made, **line.arguments))
    for line, action in made.pending():
        made.line = line
        _run(made, complaints, action)
    return made


def _run(made: Expansion, complaints: Complaints, action: "Action") -> None:
    try:
        action()
    except RefusedLine as refused:
        complaints.add(made.line.number, str(refused))


def tables(made: Expansion, supply: Supply | None, wound: Mapping[str, Wound]) -> MachineTables:
    """The tables, with ids by wire. Raises GameError, UsageError: a winding that cannot be."""
    coils = tuple(sorted((row for _line, row in made.coils), key=lambda row: row.drive))
    limit = (supply.limit,) if supply and supply.limit else ()
    feed = (supply.volts, supply.ohms, *_words(supply), *limit) if supply else ()
    data = tuple(_winding(row.name, wound[row.name]) for row in coils if row.name in wound)
    wiring = _wiring_tables(made, coils, _sums(feed, data, coils, made) if supply else ((), 0, 0))
    host = _host_tables(made, wiring, feed, data)
    return MachineTables(wiring, host, {row.name: line for line, row in made.coils})


def _wiring_tables(made: Expansion, coils: tuple[CoilRow, ...], sums: "Sums") -> WiringTables:
    heat, bears, low = sums
    return WiringTables(
        SWITCHES=tuple(row for block in sorted(made.switches, key=_place) for row in block.rows),
        LAMPS=tuple(row for block in sorted(made.lamps, key=_place) for row in block.rows),
        COILS=coils,
        HEAT=heat,
        SUPPLY_MA=bears,
        COIL_VOLTS_LOW_MV=low,
        REFLEXES=tuple(made.reflexes),
        FLIPPERS=tuple(made.flippers),
        SEARCH=tuple(made.search),
        DISPLAYS=tuple(made.displays),
        CHIMES=tuple(made.chimes),
        LATCHED=tuple(made.latched),
        INVERTED=tuple(name for name, _supply in made.optos),
        TROUGH=made.trough,
        BALLS=made.balls,
        PLAYERS=made.players,
    )


def _host_tables(
    made: Expansion, wiring: WiringTables, feed: Row, data: tuple[windings.WindingRow, ...]
) -> HostTables:
    shots = tuple(row for _order, row in sorted(made.shots, key=lambda each: each[0]))
    switches = (row.name for row in wiring.SWITCHES)
    return HostTables(
        BALLS=made.balls,
        HOME=made.home,
        DEVICES=tuple(made.devices),
        LATCHES=tuple(made.latches),
        FLIPPERS=tuple(made.bats),
        WHEELS=tuple(made.wheels),
        WEAK=tuple(made.weak),
        SHOTS=shots,
        ROUTES=tuple(made.routes),
        KEYS=keys.groups(switches, (row.name for row in shots), made.keys),
        OPTOS=tuple(made.optos),
        SUPPLY=feed,
        COILS=tuple(row.written() for row in data),
    )


def _place(block: Block[SwitchRow] | Block[LampRow]) -> tuple[bool, int, int]:
    return block.place


def _wound(file: MachineFile, made: Expansion) -> dict[str, Wound]:
    if made.wound and file.supply is None and not file.complaints.found:
        file.complaints.add(
            1, "there is no SUPPLY = Supply(volts, ohms=…), and windings need it for their sums"
        )
    return made.wound


def _words(supply: Supply) -> list[str]:
    answers = (supply.smoothed, supply.guarded, supply.isolated)
    words = zip(answers, windings.SUPPLY_WORDS, strict=True)
    return [yes if answer else no for answer, (yes, no) in words]


def _winding(name: str, wound: Wound) -> windings.WindingRow:
    one = wound.winding
    if isinstance(one, Load):
        return windings.WindingRow(
            name, float(one.ohms), 0.0, 0, "A", float(wound.clamp), one.fuse, wound.seconds, float(one.watts)
        )
    return windings.WindingRow(
        name,
        ohms=float(one.ohms),
        millihenries=float(one.mh),
        gauge=one.awg,
        insulation=one.insulation,
        zener_volts=float(wound.clamp),
        fuse=one.fuse,
        period_s=wound.seconds,
    )


def _sums(
    feed: Row, data: Sequence[windings.WindingRow], coils: Sequence[CoilRow], made: Expansion
) -> "Sums":
    """HEAT, milliamperes at once, and the coil millivolts below which queued coils wait."""
    supply = windings.feed_of_row(feed)
    strong_ms = {row.hold: row.longest_ms for row in made.flippers}
    found = windings.drives(supply, map(windings.winding_of_row, data), coils, strong_ms)
    return tuple(windings.heat_rows(found)), windings.supply_bears(supply), windings.volts_low_mv(supply)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    Action = Callable[[], None]
    Sums = tuple[tuple[HeatRow, ...], int, int]
