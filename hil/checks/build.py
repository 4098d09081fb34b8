"""Checks of the whole game: it is built into a console, which is then inspected."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import NamedTuple

import firmware
from firmware.base.errors import ChartError, GameError, InlaneError, ScriptError
from firmware.board import Board
from firmware.link.machine import RECORDS
from firmware.play.feature import Feature
from hil import games
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.checks import game_charts, outputs, wiring
from hil.checks import source as sources
from hil.checks.blame import line_of, place_of, words_of
from hil.checks.chart_events import HandleRecorder
from hil.checks.chart_finding import ChartFinding, findings
from hil.checks.chart_source.places import Place
from hil.checks.game_file import game_findings
from hil.checks.guarded import GuardedGame
from hil.checks.imports import imports
from hil.checks.lacks import lacks
from hil.checks.lines import of_error
from hil.checks.machine_file import machine_findings
from hil.checks.rule_bodies import rule_findings
from hil.checks.rule_calls import rule_calls
from hil.checks.source import Finding, Source
from hil.checks.texts import text_findings
from hil.games import Game
from hil.machine.expanding import FILE

LINE = re.compile(r":\d+$")


class Built(NamedTuple):
    """A game that could be built, and the console."""

    source: Source
    game: Game
    console: HandleRecorder
    problems: list[ChartFinding]
    """Of its charts; notes alone."""


Check = Callable[[Built], Iterator[Finding]]
TableCheck = Callable[[Source, Game], Iterator[Finding]]


def build(source: Source, game: Game) -> "Built | list[Finding]":
    """The game with a console, or why there is none, at the lines that are to blame."""
    foreign = _foreign(source, game)
    if foreign:
        return [foreign]
    guarded = GuardedGame(game.module)
    try:
        return _set_up(source, game, guarded)
    except Exception as error:
        refused = guarded.errors or [error]
        return [_refusal(source, one) for one in refused]


def _set_up(source: Source, game: Game, guarded: GuardedGame) -> "Built | list[Finding]":
    console = object.__new__(HandleRecorder)
    try:
        console.set_up(guarded.as_module(), RECORDS)
    except ChartError as error:
        found = (
            []
            if guarded.errors
            else _found(source, game_charts.explain_refusal(console, source.folder, error))
        )
        if found:
            return found
        raise
    if guarded.errors:
        raise guarded.errors[0]
    problems = game_charts.check(console, source.folder)
    refused = [*_found(source, problems), *rule_findings(source, console)]
    if _refused(refused):
        return refused
    console.begin(Board(), 1, {}, 0)
    return Built(source, game, console, problems)


def _refusal(source: Source, error: Exception) -> Finding:
    if isinstance(error, InlaneError):
        return Finding(error.text, place_of(source, error))
    return Finding(f"the game cannot be built: {words_of(error)}", line_of(source, error))


def _found(source: Source, problems: list[ChartFinding]) -> list[Finding]:
    return list(findings(problems, lambda place: _at(source, place)))


def _at(source: Source, place: Place) -> str:
    """A place as messages show it."""
    path = place.path.resolve()
    inside = source.folder in path.parents
    return source.at(path, place.line) if inside else f"{shown(path)}:{place.line}"


def _foreign(source: Source, game: Game) -> Finding | None:
    """The console must be built from this folder's tables, not from another game's of the same name."""
    wiring = Path(getattr(game.wiring, "__file__", ""))
    if wiring.resolve() == (source.folder / "wiring.py").resolve():
        return None
    path = source.folder / "game.py"
    lines = path.read_text(encoding="utf-8").splitlines()
    line = next((at for at, text in enumerate(lines, 1) if "wiring" in text and "import" in text), 1)
    return Finding(f"the game takes its wiring from {wiring}, not from its own folder", source.at(path, line))


def charts(built: Built) -> Iterator[Finding]:
    """What is odd about the charts; what is wrong with them kept the game from being built."""
    yield from _found(built.source, built.problems)


def rules(built: Built) -> Iterator[Finding]:
    """What is odd about the methods of rules; what is wrong with them kept the game from being built."""
    yield from rule_findings(built.source, built.console)


def scripts(built: Built) -> Iterator[Finding]:
    """Every script can be read; every feature has one."""
    words = of_game(built.game)
    covered: set[str] = set()
    for path in sorted(built.game.scripts.rglob(f"*{script.SUFFIX}")):
        shown = f"{built.source.shown}/{path.relative_to(built.game.folder).as_posix()}"
        try:
            read = script.read(path, words, shown)
        except ScriptError as error:
            where = error.where or shown
            yield Finding(error.text, where if LINE.search(where) else f"{where}:1")
            continue
        covered.update(read.covers)
        if not read.covers:
            yield Finding("the script does not say which feature it covers", shown, fatal=False)
    for feature in built.console.play.features:
        if feature.name not in covered and _own(built, feature):
            where = _class_line(built, feature)
            yield Finding(f"feature '{feature.name}' has no script that covers it", where, fatal=False)


def _own(built: Built, feature: Feature) -> bool:
    return type(feature).__module__.startswith(built.game.package + ".")


def _class_line(built: Built, feature: Feature) -> str:
    for path, line in built.source.mentions(feature.name):
        return built.source.at(path, line)
    return f"{built.source.shown}/game.py"


def unclaimed_lamps(built: Built) -> Iterator[Finding]:
    """Every lamp is claimed by a feature."""
    claims = built.console.play.lamps._by_lamp  # the board has no use for asking, so there is no public way
    for (lamp, where), claimants in zip(built.source.lamps(), claims, strict=True):
        if not claimants:
            yield Finding(f"lamp '{lamp.name}' is wired, but nobody lights it", where, fatal=False)


def unheard_switches(built: Built) -> Iterator[Finding]:
    """Every switch is heard by a chart, a reflex, or a name in the firmware's or the game's sources."""
    console = built.console
    used = {reflex.switch for reflex, _ in built.source.reflexes()}
    used.update(
        name for flipper, _ in built.source.flippers() for name in (flipper.button, flipper.stroke_switch)
    )
    used.update(built.source.trough())
    for number, (switch, where) in enumerate(built.source.switches()):
        if switch.name in used or console.engine.is_heard(number) or _is_named(switch.name, built.source):
            continue
        yield Finding(f"switch '{switch.name}' is wired, but nothing listens to it", where, fatal=False)


def _is_named(name: str, source: Source) -> bool:
    if any(path.name != "wiring.py" for path, _ in source.mentions(name)):
        return True
    return f'"{name}"' in _firmware_text()


@cache
def _firmware_text() -> str:
    """The kit's own sources, the games left out."""
    top = Path(firmware.__path__[0])
    found = [path for path in sorted(top.rglob("*.py")) if games.BUILT_IN not in path.parents]
    return "\n".join(path.read_text(encoding="utf-8") for path in found)


def unasked_coils(built: Built) -> Iterator[Finding]:
    """Every coil is fired by a reflex, a flipper, or a name in the sources."""
    used = {reflex.coil for reflex, _ in built.source.reflexes()}
    used.update(name for flipper, _ in built.source.flippers() for name in (flipper.strong, flipper.hold))
    used.update(outputs.struck(built.source))
    for coil, where in built.source.coils():
        if coil.name not in used and not _is_named(coil.name, built.source):
            yield Finding(f"coil '{coil.name}' is wired, but nothing fires it", where, fatal=False)


def all_findings(
    name_or_path: str, extra: tuple[Check, ...] = (), by_tables: tuple[TableCheck, ...] = ()
) -> list[Finding]:
    """Everything that is wrong with a game, by its text, its tables, and the console that is built of it.

    Raises UsageError when there is no such game.
    """
    _, folder, package = games.locate(name_or_path)
    misnamed = games.other_name(folder, package)
    if misnamed:
        return [Finding(misnamed, f"{shown(folder)}/game.py")]
    found = list(text_findings(folder, shown(folder)))
    if not any(finding.where.startswith(f"{shown(folder)}/{FILE}") for finding in found):
        found += machine_findings(folder, shown(folder), name_or_path)
    source, wrong = _wiring(folder)
    if source is None or _refused(found):
        return _once(found + wrong)
    imported = _ask(source, [partial(imports, source)])
    found += [*wrong, *imported, *_ask(source, [partial(check, source) for check in (rule_calls, lacks)])]
    if _refused(imported):
        return _once(found)
    try:
        game = games.load(name_or_path)
    except GameError as error:
        return _once([*found, Finding(error.text, place_of(source, error))])
    found += _ask(source, [partial(game_findings, source, game)])
    of_tables = _ask(source, [partial(check, source, game) for check in by_tables])
    if _refused(found):  # such sentences would come again, less plainly, when it is built
        return _once(found + of_tables)
    built = build(source, game)
    of_rules = (
        built
        if isinstance(built, list)
        else _ask(source, [partial(check, built) for check in (*CHECKS, *extra)])
    )
    return _once(found + of_tables + of_rules)


def _wiring(folder: Path) -> tuple[Source | None, list[Finding]]:
    """The wiring as text, and what is wrong with it; None: it cannot be read as tables."""
    try:
        source = sources.read(folder, shown(folder))
    except GameError as error:
        return None, [Finding(error.text, error.where)]
    found = [finding for check in (*wiring.FIRST, *outputs.FIRST) for finding in check(source)]
    if found:
        return None, found
    return source, [finding for check in (*wiring.CHECKS, *outputs.CHECKS) for finding in check(source)]


def _refused(found: list[Finding]) -> bool:
    return any(finding.fatal for finding in found)


def _once(found: list[Finding]) -> list[Finding]:
    """Each finding once, in its order, at a line of its file if one has what it quotes."""
    return list(dict.fromkeys(_at_line(finding) for finding in found))


def _at_line(finding: Finding) -> Finding:
    path = Path(finding.where)
    found = of_error(finding.text, [path]) if path.suffix == ".py" and path.is_file() else None
    return replace(finding, where=f"{finding.where}:{found[1]}") if found else finding


def _ask(source: Source, checks: "list[Callable[[], Iterator[Finding]]]") -> list[Finding]:
    """What the checks find; one that is stopped by an error has found that."""
    found: list[Finding] = []
    for check in checks:
        try:
            found += check()
        except InlaneError as error:
            found.append(Finding(error.text, error.where or source.shown))
        except Exception as error:
            found.append(Finding(words_of(error), line_of(source, error)))
    return found


def shown(folder: Path) -> str:
    """A folder as messages show it: from here when it lies below."""
    try:
        return folder.relative_to(Path.cwd()).as_posix()
    except ValueError:
        return str(folder)


CHECKS: tuple[Check, ...] = (charts, rules, scripts, unclaimed_lamps, unheard_switches, unasked_coils)
