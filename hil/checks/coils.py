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
from hil.electrical.sums.declared import beyond, lacking, stays_off
from hil.electrical.sums.drive import Drive
from hil.electrical.sums.findings import LEAST_COILS_VOLTS, REFUSED, judge
from hil.electrical.sums.findings import Finding as JudgedCoil
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.on_time import STAGES, Stage
from hil.electrical.sums.sizing import work_out
from hil.game_tables import HeatRow, coil_rows, flipper_rows
from hil.games import Game

EVERYTHING = lacking(0, False, False)
NEAR_ENOUGH = 0.9  # of the amperes that the sums predict


def coil_findings(built: Built) -> Iterator[Finding]:
    """What the sums say about this game's coils; a refusal is fatal, the rest are notes."""
    yield from findings(built.game, f"{built.source.shown}/{file_of(built.game)}")


def refusals(game: Game) -> list[str]:
    """What the sums refuse of this game's coils, a sentence each."""
    return [finding.text for finding in findings(game, file_of(game)) if finding.fatal]


def findings(game: Game, where: str) -> Iterator[Finding]:
    """Refusals and notes, all of them at `where`, with the line of the coil's device if that is known."""
    try:
        found = drives(game) if has_windings(game) else []
    except (GameError, UsageError) as error:
        yield Finding(error.text, where)
        return
    lines = lines_of(game)
    yield from _judged(found, where, lines)
    yield from _governed(game, found, where)
    yield from _at_once(game, found, where)
    yield from _undeclared(game, found, where, lines)


def not_energised(game: Game) -> str:
    """One sentence about the coils that may not be energised, "" when all of them may."""
    said = list(findings(game, file_of(game)))
    refused = [finding.text for finding in said if finding.fatal]
    off = stay_off(game)
    if refused:
        more = f"; and {len(refused) - 1} more, see inlane check" if len(refused) > 1 else ""
        return f"{game.name} plays; may not be energised: all coils: {refused[0]}{more}"
    if not off:
        return ""
    names = ", ".join(off) if len(off) < len(coil_rows(game.wiring)) else f"all {len(off)} coils"
    return f"{game.name} plays; may not be energised: {names}: no load is declared"


def stay_off(game: Game) -> list[str]:
    """The coils of a game that no board energises, since their loads are not declared."""
    known = {row.coil for row in game_tables.heat_rows(game.wiring) if row.current_ma > 0}
    return [row.name for row in coil_rows(game.wiring) if row.name not in known]


def _undeclared(game: Game, found: list[Drive], where: str, lines: dict[str, int]) -> Iterator[Finding]:
    """Coils without a load: they stay off, and may not ask for more than some unknown coil could bear."""
    known = {drive.name for drive in found}
    missing = [coil for coil in coil_rows(game.wiring) if coil.name not in known]
    if missing and not found:
        text = f"no loads are declared in {file_of(game)}: none of the {len(missing)} coils is energised"
        yield Finding(text, where, fatal=False, power=True)
    for coil in missing:
        at = _at_line(where, lines, coil.name)
        if found:
            text = stays_off(coil.name, EVERYTHING)
            yield Finding(text, at, fatal=False, power=True)
        asked = beyond(coil.name, coil.kind, coil.pulse_ms, coil.longest_ms, coil.rest_ms)
        if asked:
            yield Finding(asked, at, power=True)


def _judged(found: list[Drive], where: str, lines: dict[str, int]) -> Iterator[Finding]:
    """What the sums say of each coil, alike sentences once, at the first coil they are about."""
    first: dict[JudgedCoil, str] = {}
    for drive in found:
        for finding in judge(drive, work_out(drive)):
            first.setdefault(finding, drive.name)
    for finding, name in first.items():
        refused = finding.weight == REFUSED
        yield Finding(finding.text, _at_line(where, lines, name), fatal=refused, power=refused)


def _at_line(where: str, lines: dict[str, int], coil: str) -> str:
    return f"{where}:{lines[coil]}" if coil in lines else where


def drives(game: Game) -> list[Drive]:
    """The coils of a game that it declares windings of. Raises GameError, UsageError."""
    strong = {row.hold: row.longest_ms for row in flipper_rows(game.wiring)}
    return windings.drives(feed_of(game), winding_rows(game), coil_rows(game.wiring), strong)


def stages(game: Game) -> dict[str, Stage | None]:
    """The on-time stage that each coil's drive needs, by coil. Raises GameError, UsageError."""
    return windings.stages(coil_rows(game.wiring), drives(game) if has_windings(game) else ())


def stage_line(game: Game) -> str:
    """R5 of all drives in one line, alike ones together. Raises GameError, UsageError."""
    groups: dict[str, list[str]] = {}
    for name, stage in stages(game).items():
        groups.setdefault(str(stage), []).append(name)
    usual = groups.pop(str(STAGES[0]), [])
    found = [f"{value} for {', '.join(names)}" for value, names in groups.items()]
    if usual:
        found.append(f"{STAGES[0]} for {'the other ' if found else 'all '}{len(usual)}")
    return "on-time stage, R5: " + "; ".join(found)


def heat_rows(game: Game) -> list[HeatRow]:
    """HEAT of a wiring table by the sums; a budget of 0: none needed. Raises GameError, UsageError."""
    return windings.heat_rows(drives(game))


def _governed(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """The governor's heat budgets and amperes are no greater than the sums allow."""
    yield from _heat_of_declared(game, found, where)
    yield from _budgets(game, found, where)
    yield from _supply(game, found, where)


def _heat_of_declared(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """HEAT has every declared load, and no other: with a row there a board drives the coil."""
    given = [row.coil for row in game_tables.heat_rows(game.wiring)]
    wanted = {row.coil: row for row in windings.heat_rows(found)}
    for coil in given:
        if coil not in wanted:
            text = f"HEAT of wiring.py has coil '{coil}', whose load is declared nowhere"
            yield Finding(text, where, power=True)
    for row in wanted.values():
        if not row.budget_ms and row.coil not in given:
            yield Finding(f"write {tuple(row)} into HEAT of wiring.py", where, power=True)


def _budgets(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    declared = {row.coil: row for row in game_tables.heat_rows(game.wiring)}
    usual = {kind: (budget_ms, percent) for kind, budget_ms, percent in BUDGETS}
    wired = {row.name: row for row in coil_rows(game.wiring)}
    for drive, derived in windings.limited(list(filter(windings.is_declared, found))):
        row = windings.heat_row(drive, derived)
        has = declared.get(drive.name) or HeatRow(drive.name, 0, *usual[wired[drive.name].kind])
        has = has._replace(budget_ms=max(has.budget_ms, 2 * wired[drive.name].longest_ms))
        if has.budget_ms > derived.bucket_ms or has.percent * 10 > derived.leak_permille:
            text = (
                f"coil '{drive.name}' may use {has.budget_ms} ms of heat and {has.percent} % for ever by the"
                f" governor; its winding bears {derived.bucket_ms} ms and {derived.leak_permille / 10:g} %:"
                f" write {tuple(row)} into HEAT of wiring.py"
            )
            yield Finding(text, where, power=True)
        elif has.current_ma < row.current_ma * NEAR_ENOUGH:
            text = (
                f"coil '{drive.name}' counts as {has.current_ma} mA for the governor; it draws"
                f" {row.current_ma} mA: write {tuple(row)} into HEAT of wiring.py"
            )
            yield Finding(text, where, power=True)


def _supply(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    wiring = game.wiring
    bears = windings.supply_bears(found[0].feed) if found else 0
    given = getattr(wiring, "SUPPLY_MA", 0)
    if bears and not 0 < given <= bears:
        state = f"is {given}" if given else "is missing"
        text = f"SUPPLY_MA of wiring.py {state}; the coil supply bears {bears} mA at once"
        yield Finding(text, where, power=True)
    if found and not getattr(wiring, "COIL_VOLTS_LOW_MV", 0):
        low = windings.volts_low_mv(found[0].feed)
        text = f"no COIL_VOLTS_LOW_MV in wiring.py: queued coils do not wait below {low} mV"
        yield Finding(text, where, fatal=False)


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
