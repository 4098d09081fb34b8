"""The coils of one game as drives for the sums, and what a wiring table needs of their results."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from hil.electrical.sums import fuse, limits
from hil.electrical.sums.drive import Drive, Feed, Hold, heat_of
from hil.electrical.sums.findings import LEAST_COILS_VOLTS
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.sizing import work_out
from hil.game_tables import CoilRow

HELD_FROM = 25  # drives held by PWM
HOLD_DUTY = 0.10
SUPPLY_WORDS = (("smoothed", "unsmoothed"), ("guarded", "not guarded"), ("isolated", "insulation unknown"))

HeatRow = tuple[str, int, int, int]
"""Coil, milliamperes while on, heat budget in ms of on-time (0: none needed), percent borne for ever."""


class WindingRow(NamedTuple):
    """What a coil is wound of; `zener` 0: a diode; `seconds` between two pulses in busy play."""

    coil: str
    ohms: float
    millihenries: float
    gauge: int
    insulation: str
    zener: float
    fuse: str
    seconds: float


def feed(row: Sequence[object]) -> Feed:
    """The coil supply as a game's tables give it. Raises GameError."""
    if len(row) != 2 + len(SUPPLY_WORDS):
        raise GameError(f"the supply has {len(row)} fields; it takes {2 + len(SUPPLY_WORDS)}")
    volts, source, *words = row
    for name, number in (("volts", volts), ("ohms", source)):
        if not isinstance(number, int | float):
            raise GameError(f"the {name} of the supply are {number!r}; they must be a number")
    for word, allowed in zip(words, SUPPLY_WORDS, strict=True):
        if word not in allowed:
            raise GameError(f"the supply is said to be '{word}'; it takes '{allowed[0]}' or '{allowed[1]}'")
    first = [word == allowed[0] for word, allowed in zip(words, SUPPLY_WORDS, strict=True)]
    return Feed(volts, source, *first)  # type: ignore[arg-type]  # numbers, as looked at above


def drives(
    supply: Feed,
    rows: Iterable[Sequence[object]],
    coils: Iterable[CoilRow],
    strong_ms: dict[str, int],
) -> list[Drive]:
    """Every winding that is described, as wired. Raises GameError, UsageError.

    `strong_ms`: by hold winding, the ms for which a flipper's strong drive pulses.
    """
    wired = {coil.name: coil for coil in coils}
    found: dict[str, Drive] = {}
    for row in rows:
        name = str(row[0])
        if len(row) != len(WindingRow._fields):
            raise GameError(f"coil '{name}' has {len(row)} fields; it takes {len(WindingRow._fields)}")
        if name not in wired:
            raise GameError(f"coil '{name}' is not wired{did_you_mean(name, list(wired))}")
        if name in found:
            raise GameError(f"coil '{name}' is told about twice")
        winding = WindingRow._make(row)  # the sums refuse values that cannot be
        found[name] = _drive(winding, wired[name], supply, strong_ms.get(name, 0))
    return list(found.values())


def heat_rows(found: list[Drive]) -> list[HeatRow]:
    """HEAT of a wiring table as the sums have it."""
    derived = dict(limited(found))
    rows = []
    for drive in found:
        if drive in derived:
            rows.append(heat_row(drive, derived[drive]))
        elif drive.forever:
            rows.append((drive.name, milliamperes(drive), 0, 100))
    return rows


def limited(found: list[Drive]) -> list[tuple[Drive, Limits]]:
    """Drives with the limits that the sums derive; those that may stay on have none."""
    pulsed = [(drive, limits.derive(drive, work_out(drive))) for drive in found if not drive.forever]
    return [(drive, derived) for drive, derived in pulsed if derived]


def heat_row(drive: Drive, derived: Limits) -> HeatRow:
    """The row of HEAT for one drive."""
    return drive.name, milliamperes(drive), derived.bucket_ms, derived.leak_permille // 10


def milliamperes(drive: Drive) -> int:
    """What the cold winding draws at once."""
    return round(1000 * drive.feed.volts / (drive.ohms + drive.feed.source))


def volts_low_mv(supply: Feed) -> int:
    """Coil millivolts below which queued coils wait."""
    return round(supply.volts * LEAST_COILS_VOLTS * 1000)


def supply_bears(supply: Feed) -> int:
    """Milliamperes at once that leave the coils enough volts; 0 when the source resistance is not known."""
    return int(supply.volts * (1 - LEAST_COILS_VOLTS) / supply.source * 1000) if supply.source else 0


def _drive(row: WindingRow, wired: CoilRow, supply: Feed, strong_ms: int) -> Drive:
    """`strong_ms`: for how long another drive pulses this winding before it is held by PWM."""
    held = wired.drive >= HELD_FROM
    pulse = wired.pulse_ms if wired.pulse_ms > 0 else strong_ms if held else 0
    return Drive(
        name=row.coil,
        ohms=row.ohms,
        feed=supply,
        pulse=pulse / 1e3,
        period=row.seconds,
        henries=row.millihenries / 1e3,
        copper_heat=heat_of(row.ohms, row.gauge, None),
        insulation=row.insulation,
        clamp="zener" if row.zener else "diode",
        zener=row.zener,
        fuse=fuse.parse(row.fuse) if row.fuse else None,
        longest=wired.longest_ms / 1e3,
        forever=wired.pulse_ms < 0 and not held,
        hold=Hold(HOLD_DUTY) if held else None,
    )
