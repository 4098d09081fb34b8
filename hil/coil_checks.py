"""A game's coils against the sums: its wiring table's times, the windings and fuses in its host/coils.py."""

import importlib
from collections.abc import Iterator
from typing import Any

from firmware.base.errors import GameError, UsageError
from firmware.charts.near import meant
from hil.checks.build import Built
from hil.checks.source import Finding
from hil.games import Game
from hil.sums import fuse, limits, supply
from hil.sums.drive import Drive, Feed, Hold, heat_of
from hil.sums.findings import LEAST_COILS_VOLTS, REFUSED, judge
from hil.sums.limits import Limits
from hil.sums.sizing import work_out

FILE = "host/coils.py"
WOUND = ("queued", "snap", "flipper")
HELD_FROM = 25
HOLD_DUTY = 0.10
FIELDS = 8


def coil_findings(built: Built) -> Iterator[Finding]:
    """What the sums say about this game's coils; a refusal is fatal, the rest are notes."""
    where = f"{built.source.shown}/{FILE}"
    if not (built.game.folder / "host" / "coils.py").is_file():
        yield Finding("no host/coils.py: coil times, fuses and heat are not checked", where, fatal=False)
        return
    try:
        found = drives(built.game)
    except (GameError, UsageError) as error:
        yield Finding(error.text, where)
        return
    findings = [finding for drive in found for finding in judge(drive, work_out(drive))]
    for finding in dict.fromkeys(findings):
        yield Finding(finding.text, where, fatal=finding.weight == REFUSED)
    yield from _at_once(built.game, found, where)
    known = {drive.name for drive in found}
    for row in built.game.wiring.COILS:
        if row[1] in WOUND and row[0] not in known:
            yield Finding(f"coil '{row[0]}' has no line in {FILE}: its limits are not checked", where, False)


def drives(game: Game) -> list[Drive]:
    """The coils of a game that its host/coils.py tells about. Raises GameError, UsageError."""
    told: Any = importlib.import_module(f"{game.package}.host.coils")
    wired = {row[0]: row for row in game.wiring.COILS}
    feed = _feed(told.SUPPLY)
    found: dict[str, Drive] = {}
    for row in told.COILS:
        name = row[0]
        if len(row) != FIELDS:
            raise GameError(f"coil '{name}' has {len(row)} fields; it takes {FIELDS}")
        if name not in wired:
            raise GameError(f"coil '{name}' is not wired{meant(name, list(wired))}")
        if name in found:
            raise GameError(f"coil '{name}' is told about twice")
        found[name] = _drive(row, wired[name], feed)
    return list(found.values())


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
    found = {}
    for drive in drives(game):
        derived = None if drive.forever else limits.derive(drive, work_out(drive))
        if derived:
            found[drive.name] = derived
    return found


SUPPLY_WORDS = (("smoothed", "unsmoothed"), ("guarded", "not guarded"), ("isolated", "insulation unknown"))


def _feed(row: tuple[Any, ...]) -> Feed:
    if len(row) != 2 + len(SUPPLY_WORDS):
        raise GameError(f"the supply has {len(row)} fields; it takes {2 + len(SUPPLY_WORDS)}")
    for word, allowed in zip(row[2:], SUPPLY_WORDS, strict=True):
        if word not in allowed:
            raise GameError(f"the supply is said to be '{word}'; it takes '{allowed[0]}' or '{allowed[1]}'")
    first = [word == allowed[0] for word, allowed in zip(row[2:], SUPPLY_WORDS, strict=True)]
    return Feed(row[0], row[1], *first)


def _drive(row: Any, wired: Any, feed: Feed) -> Drive:
    name, ohms, millihenries, gauge, insulation, zener, chosen, seconds = row
    _, _, pulse, longest, _, drive = wired
    held = drive >= HELD_FROM
    return Drive(
        name=name,
        ohms=ohms,
        feed=feed,
        pulse=max(pulse, 0) / 1e3,
        period=seconds,
        henries=millihenries / 1e3,
        copper_heat=heat_of(ohms, gauge, None),
        insulation=insulation,
        clamp="zener" if zener else "diode",
        zener=zener,
        fuse=fuse.parse(chosen) if chosen else None,
        longest=longest / 1e3,
        forever=pulse < 0 and not held,
        hold=Hold(HOLD_DUTY) if held else None,
    )
