"""Checks of the whole game: it is built into a console, which is then inspected."""

import re
from collections.abc import Callable, Iterator
from functools import cache
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
from hil.checks import game_charts, outputs
from hil.checks.chart_events import HandleRecorder
from hil.checks.chart_finding import ChartFinding, findings
from hil.checks.chart_source.places import Place
from hil.checks.lacks import lacks
from hil.checks.source import Finding, Source
from hil.games import Game


class Built(NamedTuple):
    """A game that could be built, and the console."""

    source: Source
    game: Game
    console: HandleRecorder
    problems: list[ChartFinding]
    """Of its charts; notes alone."""


Check = Callable[[Built], Iterator[Finding]]


def build(source: Source, name_or_path: str) -> "Built | list[Finding]":
    """The game with a console, or why there is none, at the lines that are to blame."""
    try:
        game = games.load(name_or_path)
        foreign = _foreign(source, game)
        return [foreign] if foreign else _set_up(source, game)
    except GameError as error:
        return [Finding(error.text, _place(source, error))]
    except Exception as error:
        return [
            Finding(f"the game cannot be built: {type(error).__name__}: {error}", _line_of(source, error))
        ]


def _set_up(source: Source, game: Game) -> "Built | list[Finding]":
    console = object.__new__(HandleRecorder)
    try:
        console.set_up(game.module, RECORDS)
    except ChartError as error:
        found = _found(source, game_charts.explain_refusal(console, source.folder, error))
        if found:
            return found
        raise
    problems = game_charts.check(console, source.folder)
    if any(one.fatal for one in problems):
        return _found(source, problems)
    console.begin(Board(), 1, {}, 0)
    return Built(source, game, console, problems)


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


def _place(source: Source, error: GameError) -> str:
    """Where the error says; otherwise where the game's sources first mention a name that it quotes."""
    if error.where:
        return _shorter(source, error.where)
    for name in re.findall(r"'([^']+)'", error.text):
        for path, line in source.mentions(name.partition("/")[0]):
            return source.at(path, line)
    return _line_of(source, error)


def _line_of(source: Source, error: Exception) -> str:
    """The innermost line of the game that the exception came through, else game.py."""
    place = ""
    trace = error.__traceback__
    while trace is not None:
        path = Path(trace.tb_frame.f_code.co_filename)
        if source.folder in path.parents:
            place = source.at(path, trace.tb_lineno)
        trace = trace.tb_next
    return place or f"{source.shown}/game.py"


def _shorter(source: Source, where: str) -> str:
    path, _, line = where.rpartition(":")
    if line.isdigit() and source.folder in Path(path).parents:
        return source.at(Path(path), int(line))
    return where


def charts(built: Built) -> Iterator[Finding]:
    """What is odd about the charts; what is wrong with them kept the game from being built."""
    yield from _found(built.source, built.problems)


def routes(built: Built) -> Iterator[Finding]:
    """The ball routes name what is wired."""
    try:
        built.game.host("routes")
    except GameError as error:
        yield Finding(error.text, _place(built.source, error))


def scripts(built: Built) -> Iterator[Finding]:
    """Every script can be read; every feature has one."""
    words = of_game(built.game)
    covered: set[str] = set()
    for path in sorted(built.game.scripts.glob(f"*{script.SUFFIX}")):
        shown = f"{built.source.shown}/scripts/{path.name}"
        try:
            read = script.read(path, words, shown)
        except ScriptError as error:
            yield Finding(error.text, error.where)
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


def all_findings(name_or_path: str, extra: tuple[Check, ...] = ()) -> list[Finding]:
    """Everything that is wrong with a game. Raises UsageError when there is no such game."""
    from hil.checks import source as sources
    from hil.checks import wiring

    _, folder, _ = games.locate(name_or_path)
    try:
        source = sources.read(folder, shown(folder))
    except GameError as error:
        return [Finding(error.text, error.where)]
    found = [finding for check in (*wiring.FIRST, *outputs.FIRST) for finding in check(source)]
    if found:
        return found
    found = [finding for check in (*wiring.CHECKS, *outputs.CHECKS) for finding in check(source)]
    if found:
        return found
    found = list(lacks(source))
    if any(finding.fatal for finding in found):
        return found
    built = build(source, name_or_path)
    if isinstance(built, list):
        return found + built
    for check in (*CHECKS, *extra):
        try:
            found += check(built)
        except InlaneError as error:
            found.append(Finding(error.text, error.where or source.shown))
    return found


def shown(folder: Path) -> str:
    """A folder as messages show it: from here when it lies below."""
    try:
        return folder.relative_to(Path.cwd()).as_posix()
    except ValueError:
        return str(folder)


CHECKS: tuple[Check, ...] = (charts, routes, scripts, unclaimed_lamps, unheard_switches, unasked_coils)
