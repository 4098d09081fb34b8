"""A game's coils against the sums: its wiring table's limits, the windings and fuses that it declares."""

from collections.abc import Iterator

from firmware.base.errors import GameError, UsageError
from firmware.devices.limiter_state import BUDGETS
from hil import game_tables
from hil.checks.build import Built
from hil.checks.coil_tables import feed_of, file_of, has_windings, lines_of, winding_rows
from hil.checks.source import Finding
from hil.electrical import windings
from hil.electrical.sums import supply
from hil.electrical.sums.drive import Drive
from hil.electrical.sums.findings import LEAST_COILS_VOLTS, REFUSED, judge
from hil.electrical.sums.findings import Finding as JudgedCoil
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.sizing import work_out
from hil.game_tables import HeatRow, coil_rows, flipper_rows
from hil.games import Game

WOUND = ("queued", "snap", "flipper")
NEAR_ENOUGH = 0.9  # of the amperes that the sums predict


def coil_findings(built: Built) -> Iterator[Finding]:
    """What the sums say about this game's coils; a refusal is fatal, the rest are notes."""
    yield from findings(built.game, f"{built.source.shown}/{file_of(built.game)}")


def refusals(game: Game) -> list[str]:
    """What the sums refuse of this game's coils, a sentence each."""
    return [finding.text for finding in findings(game, file_of(game)) if finding.fatal]


def findings(game: Game, where: str) -> Iterator[Finding]:
    """Refusals and notes, all of them at `where`, with the line of the coil's device if that is known."""
    if not has_windings(game):
        text = f"no windings in {file_of(game)}: coil times, fuses and heat are not checked"
        yield Finding(text, where, fatal=False)
        return
    try:
        found = drives(game)
    except (GameError, UsageError) as error:
        yield Finding(error.text, where)
        return
    lines = lines_of(game)
    yield from _judged(found, where, lines)
    yield from _governed(game, found, where)
    yield from _at_once(game, found, where)
    known = {drive.name for drive in found}
    for coil in coil_rows(game.wiring):
        if coil.kind in WOUND and coil.name not in known:
            text = f"coil '{coil.name}' has no winding in {file_of(game)}: its limits are not checked"
            yield Finding(text, _at_line(where, lines, coil.name), fatal=False)


def _judged(found: list[Drive], where: str, lines: dict[str, int]) -> Iterator[Finding]:
    """What the sums say of each coil, alike sentences once, at the first coil they are about."""
    first: dict[JudgedCoil, str] = {}
    for drive in found:
        for finding in judge(drive, work_out(drive)):
            first.setdefault(finding, drive.name)
    for finding, name in first.items():
        yield Finding(finding.text, _at_line(where, lines, name), fatal=finding.weight == REFUSED)


def _at_line(where: str, lines: dict[str, int], coil: str) -> str:
    return f"{where}:{lines[coil]}" if coil in lines else where


def drives(game: Game) -> list[Drive]:
    """The coils of a game that it declares windings of. Raises GameError, UsageError."""
    strong = {row.hold: row.longest_ms for row in flipper_rows(game.wiring)}
    return windings.drives(feed_of(game), winding_rows(game), coil_rows(game.wiring), strong)


def heat_rows(game: Game) -> list[HeatRow]:
    """HEAT of a wiring table by the sums; a budget of 0: none needed. Raises GameError, UsageError."""
    return windings.heat_rows(drives(game))


def _governed(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """The governor's heat budgets and amperes are no greater than the sums allow."""
    wiring = game.wiring
    declared = {row.coil: row for row in game_tables.heat_rows(wiring)}
    usual = {kind: (budget_ms, percent) for kind, budget_ms, percent in BUDGETS}
    kinds = {row.name: row.kind for row in coil_rows(wiring)}
    for drive, derived in windings.limited(found):
        row = windings.heat_row(drive, derived)
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
    bears = windings.supply_bears(found[0].feed) if found else 0
    given = getattr(wiring, "SUPPLY_MA", 0)
    if bears and not 0 < given <= bears:
        state = f"is {given}" if given else "is missing"
        yield Finding(f"SUPPLY_MA of wiring.py {state}; the coil supply bears {bears} mA at once", where)
    if found and not getattr(wiring, "COIL_VOLTS_LOW_MV", 0):
        wanted = windings.volts_low_mv(found[0].feed)
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
    return {drive.name: derived for drive, derived in windings.limited(drives(game))}
