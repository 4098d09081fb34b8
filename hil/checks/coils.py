"""A game's coils against the sums: its wiring table's limits, the windings and fuses that it declares."""

from collections.abc import Iterator

from firmware.base.errors import GameError, UsageError
from firmware.devices.limiter_state import BUDGETS
from hil.checks.build import Built
from hil.checks.source import Finding
from hil.electrical import windings
from hil.electrical.sums import supply
from hil.electrical.sums.drive import Drive, Feed
from hil.electrical.sums.findings import LEAST_COILS_VOLTS, REFUSED, judge
from hil.electrical.sums.limits import Limits
from hil.electrical.sums.sizing import work_out
from hil.game_tables import coil_rows
from hil.games import Game
from hil.machine.expanding import FILE

BY_HAND = "host/coils.py"
WOUND = ("queued", "snap", "flipper")
NEAR_ENOUGH = 0.9  # of the amperes that the sums predict


def coil_findings(built: Built) -> Iterator[Finding]:
    """What the sums say about this game's coils; a refusal is fatal, the rest are notes."""
    yield from findings(built.game, f"{built.source.shown}/{file_of(built.game)}")


def refusals(game: Game) -> list[str]:
    """What the sums refuse of this game's coils, a sentence each."""
    return [finding.text for finding in findings(game, file_of(game)) if finding.fatal]


def file_of(game: Game) -> str:
    """The file of the game in which windings are declared."""
    return FILE if (game.folder / FILE).is_file() else BY_HAND


def _has_windings(game: Game) -> bool:
    return game.has_tables("coils") and hasattr(game.tables("coils"), "SUPPLY")


def findings(game: Game, where: str) -> Iterator[Finding]:
    """Refusals and notes, all of them at `where`."""
    if not _has_windings(game):
        text = f"no windings in {file_of(game)}: coil times, fuses and heat are not checked"
        yield Finding(text, where, fatal=False)
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
    for row in game.wiring.COILS:
        if row[1] in WOUND and row[0] not in known:
            text = f"coil '{row[0]}' has no winding in {file_of(game)}: its limits are not checked"
            yield Finding(text, where, fatal=False)


def feed_of(game: Game) -> Feed:
    """The coil supply that the game's coil data tells about. Raises GameError, UsageError."""
    return windings.feed(game.tables("coils").SUPPLY)


def drives(game: Game) -> list[Drive]:
    """The coils of a game that its coil data tells about. Raises GameError, UsageError."""
    strong = {row[3]: row[4] for row in game.wiring.FLIPPERS}
    return windings.drives(feed_of(game), game.tables("coils").COILS, coil_rows(game.wiring), strong)


def heat_rows(game: Game) -> list[windings.HeatRow]:
    """HEAT of a wiring table as the sums have it: coil, mA, budget in ms (0: none needed), percent borne."""
    return windings.heat_rows(drives(game))


def _governed(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """The governor's heat budgets and amperes are no greater than the sums allow."""
    wiring = game.wiring
    told = {row[0]: row for row in getattr(wiring, "HEAT", ())}
    by_class = {row[0]: row[1:] for row in BUDGETS}
    kinds = {row[0]: row[1] for row in wiring.COILS}
    for drive, derived in windings.limited(found):
        row = windings.heat_row(drive, derived)
        amperes, budget, percent = told.get(drive.name, (drive.name, 0, *by_class[kinds[drive.name]]))[1:]
        if budget > derived.bucket_ms or percent * 10 > derived.leak_permille:
            yield Finding(
                f"coil '{drive.name}' may use {budget} ms of heat and {percent} % for ever by the governor;"
                f" its winding bears {derived.bucket_ms} ms and {derived.leak_permille / 10:g} %:"
                f" write {row} into HEAT of wiring.py",
                where,
            )
        elif amperes < row[1] * NEAR_ENOUGH:
            yield Finding(
                f"coil '{drive.name}' counts as {amperes} mA for the governor; it draws {row[1]} mA:"
                f" write {row} into HEAT of wiring.py",
                where,
            )
    bears = windings.supply_bears(found[0].feed) if found else 0
    given = getattr(wiring, "SUPPLY_MA", 0)
    if bears and not 0 < given <= bears:
        said = f"is {given}" if given else "is missing"
        yield Finding(f"SUPPLY_MA of wiring.py {said}; the coil supply bears {bears} mA at once", where)
    if found and not getattr(wiring, "COIL_VOLTS_LOW_MV", 0):
        wanted = windings.volts_low_mv(found[0].feed)
        yield Finding(
            f"no COIL_VOLTS_LOW_MV in wiring.py: queued coils do not wait below {wanted} mV", where, False
        )


def _at_once(game: Game, found: list[Drive], where: str) -> Iterator[Finding]:
    """Flippers are never delayed, and a bumper may fire with them: what that leaves of the supply."""
    strong = {flipper[2] for flipper in game.wiring.FLIPPERS}
    snaps = {row[0] for row in game.wiring.COILS if row[1] == "snap"}
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
