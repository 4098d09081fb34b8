"""The coils of one game as drives for the sums, and what a wiring table needs of their results."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple, cast

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from hil.electrical.sums import fuse, limits
from hil.electrical.sums.declared import lacking
from hil.electrical.sums.drive import Drive, Feed, Hold, heat_of
from hil.electrical.sums.findings import LEAST_COILS_VOLTS
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.on_time import Stage, choose
from hil.electrical.sums.sizing import work_out
from hil.game_tables import CoilRow, HeatRow

HELD_FROM = 25  # drives held by PWM
HOLD_DUTY = 0.10
SUPPLY_WORDS = (("smoothed", "unsmoothed"), ("guarded", "not guarded"), ("isolated", "insulation unknown"))


class WindingRow(NamedTuple):
    """A winding, its fuse, and how often it is pulsed; or another load, with the watts it bears for ever.

    `ohms` at 20 °C, of another load in operation; `millihenries`, AWG `gauge`, `fuse` ("1 slow"): 0 or ""
    when not known; `zener_volts` 0: the clamp is a diode; `period_s` from pulse to pulse.
    """

    coil: str
    ohms: float
    millihenries: float
    gauge: int
    insulation: str
    zener_volts: float
    fuse: str
    period_s: float
    watts: float = 0.0

    def written(self) -> tuple[str | float, ...]:
        """The row as a game's table has it: a winding without `watts`."""
        return (*self[:-1], self.watts) if self.watts else self[:-1]


NUMBER: tuple[type, ...] = (int, float)
TEXT: tuple[type, ...] = (str,)
WHOLE: tuple[type, ...] = (int,)
KINDS = (TEXT, NUMBER, NUMBER, WHOLE, TEXT, NUMBER, TEXT, NUMBER, NUMBER)  # of WindingRow


def feed_of_row(row: tuple[object, ...]) -> Feed:
    """The coil supply as a game's tables give it. Raises GameError; UsageError for impossible values."""
    usual = 2 + len(SUPPLY_WORDS)
    if len(row) not in (usual, usual + 1):
        raise GameError(f"the supply has {len(row)} fields; it takes {usual}, or its current limit too")
    volts, source, *words = row[:usual]
    limit = _number(row[usual], "current limit") if len(row) > usual else 0.0
    for word, allowed in zip(words, SUPPLY_WORDS, strict=True):
        if word not in allowed:
            raise GameError(f"the supply is given as '{word}'; it takes '{allowed[0]}' or '{allowed[1]}'")
    smoothed, guarded, isolated = (
        word == allowed[0] for word, allowed in zip(words, SUPPLY_WORDS, strict=True)
    )
    return Feed(_number(volts, "volts"), _number(source, "ohms"), smoothed, guarded, isolated, limit)


def winding_of_row(row: object) -> WindingRow:
    """A winding as a game's tables give it. Raises GameError."""
    if not isinstance(row, tuple) or not row:
        raise GameError(f"a row of COILS is a tuple that begins with a name, not {row!r}")
    name, *_ = row
    fields = WindingRow._fields
    if len(row) not in (len(fields) - 1, len(fields)):
        raise GameError(f"coil '{name}' has {len(row)} fields; it takes {len(fields) - 1}, or its watts too")
    for field, kind, value in zip(fields, KINDS, row, strict=False):
        if not isinstance(value, kind) or isinstance(value, bool):
            wanted = "a text" if kind is TEXT else "a whole number" if kind is WHOLE else "a number"
            raise GameError(f"coil '{name}' has {value!r} for {field}; it takes {wanted}")
    return WindingRow(*cast(tuple[str, float, float, int, str, float, str, float, float], row))


def _number(value: object, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise GameError(f"the supply has the {what} {value!r}, which is no number")
    return value


def drives(
    feed: Feed, windings: Iterable[WindingRow], coils: Iterable[CoilRow], strong_ms: Mapping[str, int]
) -> list[Drive]:
    """Every winding that is described, as wired. Raises GameError, UsageError.

    `strong_ms`: by hold winding, the ms for which a flipper's strong drive pulses.
    """
    wired = {coil.name: coil for coil in coils}
    found: dict[str, Drive] = {}
    for winding in windings:
        name = winding.coil
        if name not in wired:
            raise GameError(f"coil '{name}' is not wired{did_you_mean(name, list(wired))}")
        if name in found:
            raise GameError(f"coil '{name}' has two windings")
        found[name] = _drive(winding, wired[name], feed, strong_ms.get(name, 0))
    return list(found.values())


def heat_rows(found: list[Drive]) -> list[HeatRow]:
    """HEAT of a wiring table by the sums; a budget of 0: none needed."""
    derived = dict(limited(found))
    rows = []
    for drive in filter(is_declared, found):
        if drive in derived:
            rows.append(heat_row(drive, derived[drive]))
        elif drive.forever or drive.bears:
            rows.append(HeatRow(drive.name, milliamperes(drive), 0, 100))
    return rows


def is_declared(drive: Drive) -> bool:
    """Whether ohms, gauge or watts, and fuse are all known: without a row of HEAT a board never drives it."""
    return not lacking(drive.ohms, bool(drive.copper_heat or drive.bears), drive.fuse is not None)


def limited(found: list[Drive]) -> list[tuple[Drive, Limits]]:
    """Drives with the limits that the sums derive; those that may stay on have none."""
    pulsed = [(drive, limits.derive(drive, work_out(drive))) for drive in found if not drive.forever]
    return [(drive, derived) for drive, derived in pulsed if derived]


def heat_row(drive: Drive, derived: Limits) -> HeatRow:
    """The row of HEAT for one drive."""
    return HeatRow(drive.name, milliamperes(drive), derived.bucket_ms, derived.leak_permille // 10)


def milliamperes(drive: Drive) -> int:
    """What the cold winding draws at once."""
    return round(1000 * drive.feed.peak / (drive.ohms + drive.feed.source))


def volts_low_mv(feed: Feed) -> int:
    """Coil millivolts below which queued coils wait."""
    return round(feed.volts * LEAST_COILS_VOLTS * 1000)


def supply_bears(feed: Feed) -> int:
    """Milliamperes at once that leave the coils enough volts and that it gives; 0 when neither is known."""
    sagging = feed.volts * (1 - LEAST_COILS_VOLTS) / feed.source if feed.source else feed.limit
    return int(feed.given(sagging) * 1000)


def stages(coils: Iterable[CoilRow], declared: Iterable[Drive]) -> dict[str, Stage | None]:
    """The on-time stage that each wired coil's drive needs, by coil; None: no value passes its pulse."""
    known = {drive.name: drive for drive in declared}
    return {row.name: _stage_of(row, known.get(row.name)) for row in coils}


def _stage_of(row: CoilRow, drive: Drive | None) -> Stage | None:
    """Of a declared coil as its drive says; else from the wiring table's times alone."""
    if drive:
        return drive.stage
    stays_on = row.pulse_ms < 0 and row.drive < HELD_FROM
    return choose(0.0 if stays_on else max(row.pulse_ms, row.longest_ms, 0) / 1e3, stays_on)


def _drive(winding: WindingRow, wired: CoilRow, feed: Feed, strong_ms: int) -> Drive:
    """`strong_ms`: for how long another drive pulses this winding before it is held by PWM."""
    held = wired.drive >= HELD_FROM
    pulse_ms = wired.pulse_ms if wired.pulse_ms > 0 else strong_ms if held else 0
    return Drive(
        name=winding.coil,
        ohms=winding.ohms,
        feed=feed,
        pulse=pulse_ms / 1e3,
        period=winding.period_s,
        henries=winding.millihenries / 1e3,
        copper_heat=heat_of(winding.ohms, winding.gauge, None),
        bears=winding.watts,
        insulation=winding.insulation,
        clamp="zener" if winding.zener_volts else "diode",
        zener=winding.zener_volts,
        fuse=fuse.parse(winding.fuse) if winding.fuse else None,
        longest=wired.longest_ms / 1e3,
        forever=wired.pulse_ms < 0 and not held,
        hold=Hold(HOLD_DUTY) if held else None,
    )
