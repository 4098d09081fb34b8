"""A game's coils against the sums: its wiring table's limits, the windings and fuses in its host/coils.py."""

from collections.abc import Iterator

from firmware.base.errors import GameError, UsageError
from firmware.charts.suggest import did_you_mean
from firmware.devices.limiter_state import BUDGETS
from hil import game_tables
from hil.checks.build import Built
from hil.checks.coil_tables import FILE, WindingRow, feed_of, winding_rows
from hil.checks.source import Finding
from hil.electrical.sums import fuse, limits, supply
from hil.electrical.sums.drive import Drive, Feed, Hold, heat_of
from hil.electrical.sums.findings import LEAST_COILS_VOLTS, REFUSED, judge
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.sizing import work_out
from hil.game_tables import CoilRow, HeatRow, coil_rows, flipper_rows
from hil.games import Game

WOUND = ("queued", "snap", "flipper")
HELD_FROM = 25
HOLD_DUTY = 0.10
NEAR_ENOUGH = 0.9  # of the amperes that the sums predict


def coil_findings(built: Built) -> Iterator[Finding]:
    """What the sums say about this game's coils; a refusal is fatal, the rest are notes."""
    yield from findings(built.game, f"{built.source.shown}/{FILE}")


def refusals(game: Game) -> list[str]:
    """What the sums refuse of this game's coils, a sentence each."""
    return [finding.text for finding in findings(game, FILE) if finding.fatal]


def findings(game: Game, where: str) -> Iterator[Finding]:
    """Refusals and notes, all of them at `where`."""
    if not (game.folder / "host" / "coils.py").is_file():
        yield Finding("no host/coils.py: coil times, fuses and heat are not checked", where, fatal=False)
        return
    try:
        found = drives(game)
    except (GameError, UsageError) as error:
        yield Finding(error.text, where)
        return
    judged = [finding for drive in found for finding in judge(drive, work_out(drive))]
    for finding in dict.fromkeys(judged):
        yield Finding(finding.text, where, fatal=finding.weight == REFUSED)
    yield from _governed(game, found, where)
    yield from _at_once(game, found, where)
    known = {drive.name for drive in found}
    for coil in coil_rows(game.wiring):
        if coil.kind in WOUND and coil.name not in known:
            yield Finding(
                f"coil '{coil.name}' has no line in {FILE}: its limits are not checked", where, False
            )


def drives(game: Game) -> list[Drive]:
    """The coils of a game that its host/coils.py lists. Raises GameError, UsageError."""
    windings = winding_rows(game)
    wired = {row.name: row for row in coil_rows(game.wiring)}
    feed = feed_of(game)
    strong = {row.hold: row.longest_ms for row in flipper_rows(game.wiring)}
    found: dict[str, Drive] = {}
    for winding in windings:
        name = winding.coil
        if name not in wired:
            raise GameError(f"coil '{name}' is not wired{did_you_mean(name, list(wired))}")
        if name in found:
            raise GameError(f"coil '{name}' has two rows in {FILE}")
        found[name] = _drive(winding, wired[name], feed, strong.get(name, 0))
    return list(found.values())


def heat_rows(game: Game) -> list[HeatRow]:
    """HEAT of a wiring table by the sums; a budget of 0: none needed. Raises GameError, UsageError."""
    found = drives(game)
    derived = dict(_derived(found))
    rows = []
    for drive in found:
        if drive in derived:
            rows.append(_heat_row(drive, derived[drive]))
        elif drive.forever:
            rows.append(HeatRow(drive.name, _milliamperes(drive), 0, 100))
    return rows


def volts_low_mv(feed: Feed) -> int:
    """Coil millivolts below which queued coils wait."""
    return round(feed.volts * LEAST_COILS_VOLTS * 1000)


def supply_bears(feed: Feed) -> int:
    """Milliamperes at once that leave the coils enough volts; 0 when the source resistance is not known."""
    return int(feed.volts * (1 - LEAST_COILS_VOLTS) / feed.source * 1000) if feed.source else 0


def _heat_row(drive: Drive, derived: Limits) -> HeatRow:
    return HeatRow(drive.name, _milliamperes(drive), derived.bucket_ms, derived.leak_permille // 10)


def _milliamperes(drive: Drive) -> int:
    """What the cold winding draws at once."""
    return round(1000 * drive.feed.volts / (drive.ohms + drive.feed.source))


def _derived(found: list[Drive]) -> list[tuple[Drive, Limits]]:
    pulsed = [(drive, limits.derive(drive, work_out(drive))) for drive in found if not drive.forever]
    return [(drive, derived) for drive, derived in pulsed if derived]


def _governed(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """The governor's heat budgets and amperes are no greater than the sums allow."""
    wiring = game.wiring
    declared = {row.coil: row for row in game_tables.heat_rows(wiring)}
    usual = {kind: (budget_ms, percent) for kind, budget_ms, percent in BUDGETS}
    kinds = {row.name: row.kind for row in coil_rows(wiring)}
    for drive, derived in _derived(found):
        row = _heat_row(drive, derived)
        has = declared.get(drive.name) or HeatRow(drive.name, 0, *usual[kinds[drive.name]])
        if has.budget_ms > derived.bucket_ms or has.percent * 10 > derived.leak_permille:
            yield Finding(
                f"coil '{drive.name}' may use {has.budget_ms} ms of heat and {has.percent} % for ever by the"
                f" governor; its winding bears {derived.bucket_ms} ms and {derived.leak_permille / 10:g} %:"
                f" write {tuple(row)} into HEAT of wiring.py",
                where,
            )
        elif has.current_ma < row.current_ma * NEAR_ENOUGH:
            yield Finding(
                f"coil '{drive.name}' counts as {has.current_ma} mA for the governor; it draws"
                f" {row.current_ma} mA: write {tuple(row)} into HEAT of wiring.py",
                where,
            )
    bears = supply_bears(found[0].feed) if found else 0
    given = getattr(wiring, "SUPPLY_MA", 0)
    if bears and not 0 < given <= bears:
        state = f"is {given}" if given else "is missing"
        yield Finding(f"SUPPLY_MA of wiring.py {state}; the coil supply bears {bears} mA at once", where)
    if found and not getattr(wiring, "COIL_VOLTS_LOW_MV", 0):
        wanted = volts_low_mv(found[0].feed)
        yield Finding(
            f"no COIL_VOLTS_LOW_MV in wiring.py: queued coils do not wait below {wanted} mV", where, False
        )


def _at_once(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """Flippers are never delayed, and a bumper may fire with them: what that leaves of the supply."""
    strong = {flipper.strong for flipper in flipper_rows(game.wiring)}
    snaps = {row.name for row in coil_rows(game.wiring) if row.kind == "snap"}
    loads = [drive.ohms for drive in found if drive.name in strong]
    loads += sorted(drive.ohms for drive in found if drive.name in snaps)[:1]
    if not loads:
        return
    feed = found[0].feed
    left = supply.dip(feed.volts, feed.source, loads)
    if left < feed.volts * LEAST_COILS_VOLTS:
        amperes = left * sum(1 / ohms for ohms in loads)
        yield Finding(
            f"{len(loads)} coils at once draw {amperes:.0f} A and leave {left:.0f} V of {feed.volts:g} V",
            where,
            fatal=False,
        )


def budgets(game: Game) -> dict[str, Limits]:
    """Limits and heat budget by coil, for a governor. Hold windings have none: they may stay on."""
    return {drive.name: derived for drive, derived in _derived(drives(game))}


def _drive(winding: WindingRow, wired: CoilRow, feed: Feed, strong: int) -> Drive:
    """`strong`: ms that another drive pulses this winding before it is held by PWM."""
    held = wired.drive >= HELD_FROM
    pulse_ms = wired.pulse_ms if wired.pulse_ms > 0 else strong if held else 0
    return Drive(
        name=winding.coil,
        ohms=winding.ohms,
        feed=feed,
        pulse=pulse_ms / 1e3,
        period=winding.period_s,
        henries=winding.millihenries / 1e3,
        copper_heat=heat_of(winding.ohms, winding.gauge, None),
        insulation=winding.insulation,
        clamp="zener" if winding.zener_volts else "diode",
        zener=winding.zener_volts,
        fuse=fuse.parse(winding.fuse) if winding.fuse else None,
        longest=wired.longest_ms / 1e3,
        forever=wired.pulse_ms < 0 and not held,
        hold=Hold(HOLD_DUTY) if held else None,
    )
