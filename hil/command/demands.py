"""What the other commands demand of a game, asked by `inlane check` through the functions that they run."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from firmware.base.errors import GameError, InlaneError
from firmware.charts.model import Region
from firmware.charts.suggest import did_you_mean
from firmware.devices.chain import COLOURS
from hil.checks import lines
from hil.checks.blame import words_of
from hil.checks.build import Built
from hil.checks.game_file import GameFile
from hil.checks.source import Finding, Source
from hil.command import drawn, season_odds, season_player, tuning_questions
from hil.command.wiring import BOARDS, sheets
from hil.games import Game
from hil.reports import card, diagram, scxml_write
from simulator.drawing import colours
from simulator.routes import RouteBook

SHEETS = "work sheets"
LEADS = "routes lead to"  # of a remark on a drawing


def placed(source: Source, error: InlaneError, *files: str) -> Finding:
    """An error as a finding at its line; `files` of the host folder are searched for what it quotes."""
    named = Path(error.where) if error.where else None
    if error.where.rpartition(":")[2].isdigit():
        return Finding(error.text, error.where.replace(str(source.folder), source.shown))
    paths = [source.folder / "host" / f"{name}.py" for name in files]
    first = [named] if named is not None else []
    found = lines.of_error(error.text, first + [path for path in paths if path.is_file() and path != named])
    if found and source.folder in found[0].parents:
        return Finding(error.text, source.at(*found))
    inside = named is not None and source.folder in named.parents
    where = str(named).replace(str(source.folder), source.shown) if inside else ""
    return Finding(error.text, where or f"{source.shown}/host")


def asked(source: Source, ask: Callable[[], object], what: str, *files: str) -> Iterator[Finding]:
    """Why `ask` is refused, if it is; an exception that is none of ours names what cannot be done."""
    try:
        ask()
    except InlaneError as error:
        yield placed(source, error, *files)
    except Exception as error:
        where = next(
            (f"host/{name}.py" for name in files if (source.folder / f"host/{name}.py").is_file()), ""
        )
        yield Finding(f"{what}: {words_of(error)}", f"{source.shown}/{where or 'game.py'}")


def ball_routes(source: Source, game: Game) -> Iterator[Finding]:
    """The plant can play the game's ball routes."""
    yield from asked(source, lambda: _book(source, game), "no ball can be simulated", "routes", "tables")


def _book(source: Source, game: Game) -> RouteBook:
    return RouteBook(game.tables("routes"), source.names("SWITCHES"), source.names("COILS"))


def drawing(source: Source, game: Game) -> Iterator[Finding]:
    """The drawing says where everything is that the machine has, and names nothing else."""
    shown = f"{source.shown}/host/playfield.svg"
    try:
        found = drawn.drawing(game)
    except GameError as error:
        if "routes" not in error.where and "tables" not in error.where:
            yield Finding(error.text, error.where.replace(str(source.folder), source.shown) or shown)
        return
    is_own = drawn.path(game).is_file()
    for remark in found.remarks:
        if LEADS in remark.text:
            (point,) = lines.QUOTED.findall(remark.text)
            text = remark.text + did_you_mean(point, list(found.points))
            yield replace(placed(source, GameError(text), "routes", "tables"), fatal=remark.fatal)
        elif is_own or remark.fatal:
            yield Finding(remark.text, f"{shown}:{remark.line}", remark.fatal)


def keys(source: Source, game: Game) -> Iterator[Finding]:
    """The desk can read the keys; nothing without pygame, which the desk needs."""
    try:
        from simulator.desk import window
        from simulator.desk.keymap import KeyMap
    except ImportError:
        return
    try:
        shots = tuple(_book(source, game).shots)
    except Exception:
        return  # reported by ball_routes
    switches = source.names("SWITCHES")
    window.use_headless()
    yield from asked(
        source, lambda: KeyMap(game.tables("keys"), switches, shots), "no keys at the desk", "keys", "tables"
    )


def season(source: Source, game: Game) -> Iterator[Finding]:
    """Simulated players can draw their shots; the lamps and stages that `tune` reads are there."""
    try:
        book = _book(source, game)
    except Exception:
        return  # reported by ball_routes
    try:
        found = season_odds.tables(game)
    except InlaneError as error:
        yield placed(source, error, "season")
        return
    refusals = list(season_odds.refusals(found, book))
    yield from (placed(source, GameError(text), "season") for text in refusals)
    for asks in (
        () if refusals or not _is_built(game) else (season_player.aims_of, tuning_questions.funnels_of)
    ):
        try:
            asks(game)
        except InlaneError as error:
            yield placed(source, error, "season")


def _is_built(game: Game) -> bool:
    """Whether the game can be built; why not is found by itself."""
    try:
        game.console()
    except Exception:
        return False
    return True


def model(source: Source, game: Game) -> Iterator[Finding]:
    """A model of the rules, where the game has one, can be loaded to judge a season."""
    if (source.folder / "host/model.py").is_file():
        yield from asked(source, partial(game.host, "model"), "no model of the rules", "model")


def lamp_colours(source: Source, _game: Game) -> Iterator[Finding]:
    """Lamps have colours that are drawn at the desk, or shown by addressable LEDs."""
    known = list(dict.fromkeys([*(name for name, *_ in COLOURS), *colours.LAMPS]))
    for row, where in source.lamps():
        if row.colour not in known:
            near = did_you_mean(row.colour, known) or f"; there are {', '.join(known)}"
            yield Finding(f"lamp '{row.name}' has the unknown colour '{row.colour}'{near}", where)


def work_sheets(source: Source, game: Game) -> Iterator[Finding]:
    """The sheets of the usual board can be written; a machine too large for that board plays all the same."""
    board = BOARDS[0]
    try:
        sheets(game, board, [])
    except GameError:
        return  # the game cannot be built, which is found by itself
    except InlaneError as error:
        yield Finding(f"no {SHEETS} for {board}: {error.text}", f"{source.shown}/wiring.py", fatal=False)
    except Exception as error:
        yield Finding(f"no {SHEETS}: {words_of(error)}", f"{source.shown}/wiring.py")


def tones(built: Built) -> Iterator[Finding]:
    """Each tone is of a cue or a chime, and made of pairs of Hz and ms."""
    path = built.source.folder / "host/tones.py"
    if not path.is_file():
        return
    module = built.game.host("tones")
    known = {"TONES": list(built.console.cue_names), "CHIMES": list(built.console.coil_names)}
    for table, names in known.items():
        rows = getattr(module, table, () if table == "CHIMES" else None)
        node = lines.assigned(lines.tree_of(path), table)
        if not isinstance(rows, tuple):
            yield Finding(
                f"{table} is a tuple of rows: a name, and its tones", built.source.at(path, _line(node))
            )
            continue
        for at, row in enumerate(rows):
            written = lines.elements(node)
            where = built.source.at(path, _line(written[at] if at < len(written) else node))
            yield from (Finding(text, where, fatal) for text, fatal in _tone(table, row, names))


def _line(node: object) -> int:
    return int(getattr(node, "lineno", 1))


def _tone(table: str, row: object, names: list[str]) -> Iterator[tuple[str, bool]]:
    if not isinstance(row, tuple) or len(row) != 2 or not isinstance(row[0], str):
        yield f"a row of {table} is a name and its tones, not {row!r}", True
        return
    name, figure = row
    pairs = isinstance(figure, tuple) and all(
        isinstance(tone, tuple) and [type(value) for value in tone] == [int, int] and min(tone) >= 0
        for tone in figure
    )
    if not pairs:
        yield (
            f"'{name}' has the tones {figure!r}; give (Hz, ms) each; one has a comma behind it: ((440, 50),)",
            True,
        )
    elif name not in names:
        near = did_you_mean(name, names)
        if near:
            yield f"{table} has '{name}', which no rule plays{near}", False


def rule_card(built: Built) -> Iterator[Finding]:
    """The rule card can be written, as text, Markdown and SVG."""
    file = GameFile(built.source, built.game)
    refused = False
    for feature, text in card.refusals(built.console):
        refused = True
        yield Finding(text, file.class_line(type(feature)))
    if not refused:
        yield from asked(built.source, lambda: _written(built.game), "no rule card")


def _written(game: Game) -> None:
    made = card.card_of(game)
    for write in (card.as_text, card.as_markdown, card.as_svg):
        write(made)


def chart_pictures(built: Built) -> Iterator[Finding]:
    """Every chart can be drawn and written as SCXML."""
    regions = [Region(f.name, f, f.chart, f.states) for f in built.console.play.features]
    for region in regions:
        yield from asked(built.source, partial(_drawn, region), f"no picture of '{region.name}'")
    yield from asked(built.source, lambda: scxml_write.document(regions, built.game.name), "no SCXML")


def _drawn(region: Region) -> None:
    made = diagram.of_region(region)
    for write in diagram.WRITERS.values():
        write(made)


BY_TABLES = (ball_routes, drawing, keys, season, model, lamp_colours, work_sheets)
BY_CONSOLE = (tones, rule_card, chart_pictures)
