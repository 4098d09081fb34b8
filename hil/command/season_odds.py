"""The shots that simulated players draw: a game's host/season.py, or equal odds where there is none."""

from collections.abc import Iterator, Sequence
from types import SimpleNamespace
from typing import cast

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from hil.game_tables import switch_rows
from hil.games import Game
from simulator.player import SeasonTables
from simulator.routes import RouteBook

FILE = "season"
REGULAR = "regular"  # the skill when none is given
SKILLS = ("new", REGULAR, "keen")
FROM = "playfield"
MOST = 1 << 14  # of all weights together: what one draw of chance takes


def tables(game: Game) -> SeasonTables:
    """The game's host/season.py; without one all shots have equal odds. Raises GameError."""
    if (game.folder / "host" / f"{FILE}.py").is_file():
        return cast(SeasonTables, game.host(FILE))
    shots = tuple((shot, 1) for shot in playfield_shots(game))
    return cast(SeasonTables, SimpleNamespace(SHOT_ODDS=tuple((skill, shots) for skill in SKILLS)))


def playfield_shots(game: Game) -> list[str]:
    """The names of the shots from the playfield. Raises GameError: wrong routes."""
    names = [row.name for row in switch_rows(game.wiring)]
    book = RouteBook(game.tables("routes"), names, [row[0] for row in game.wiring.COILS])
    return [shot.name for shot in book.shots.values() if shot.start == FROM]


def spreads(season: SeasonTables) -> dict[str, int]:
    """The spreads of a game's own skills, ms: its SPREADS, {} where there are none. Raises GameError."""
    wrong = next(_wrong_spreads(season), "")
    if wrong:
        raise GameError(wrong, f"host/{FILE}.py")
    return dict(getattr(season, "SPREADS", ()))


def refusals(season: SeasonTables, book: RouteBook) -> Iterator[str]:
    """A sentence for each row that no player could draw from."""
    given: object = getattr(season, "SHOT_ODDS", None)
    if not isinstance(given, tuple):
        yield 'SHOT_ODDS is a tuple of skills, each with its shots: (("regular", (("drain", 10), …)), …)'
        return
    for number, row in enumerate(given, 1):
        if not isinstance(row, tuple) or len(row) != 2 or not isinstance(row[0], str):
            yield f"SHOT_ODDS, row {number} is a skill and its shots, not {row!r}"
        else:
            yield from _skill(row[0], row[1], book)
    yield from _wrong_spreads(season)
    yield from _aims(getattr(season, "AIMS", ()), book)
    skills = [row[0] for row in given if isinstance(row, tuple) and row]
    if REGULAR not in skills:
        yield f"SHOT_ODDS has no skill '{REGULAR}', which `inlane season` plays when none is given"


def _skill(skill: str, shots: object, book: RouteBook) -> Iterator[str]:
    if not isinstance(shots, tuple) or not all(isinstance(row, tuple) and len(row) == 2 for row in shots):
        yield f"skill '{skill}' takes pairs of shot and weight; one alone has a comma behind it: ((shot, 1),)"
        return
    for shot, weight in shots:
        if shot not in book.shots:
            near = did_you_mean(str(shot), list(book.shots))
            yield f"skill '{skill}' has the shot '{shot}', which is not there{near}"
        elif book.shots[shot].start != FROM:
            yield f"skill '{skill}' has the shot '{shot}', which starts in the {book.shots[shot].start}"
        if type(weight) is not int or not 0 <= weight <= MOST:
            yield f"skill '{skill}' gives the weight {weight!r} to '{shot}'; it takes 0 to {MOST:,}"
    if not 0 < _total(shots) <= MOST:
        yield f"skill '{skill}' has weights of {_total(shots):,} together; they are 1 to {MOST:,}"


def _aims(given: object, book: RouteBook) -> Iterator[str]:
    """What is wrong with the lamps that ask for a shot."""
    if not isinstance(given, tuple):
        yield "AIMS is a tuple of rows (lamp, shot, worth)"
        return
    for number, row in enumerate(given, 1):
        if not isinstance(row, tuple) or len(row) != 3 or type(row[2]) is not int or not 1 <= row[2] <= 100:
            yield f"AIMS, row {number} is a lamp, a shot and a worth of 1 to 100, not {row!r}"
        elif row[1] not in book.shots:
            near = did_you_mean(str(row[1]), list(book.shots))
            yield f"AIMS, row {number} has the shot '{row[1]}', which is not there{near}"


def _wrong_spreads(season: SeasonTables) -> Iterator[str]:
    """What is wrong with SPREADS."""
    given: object = getattr(season, "SPREADS", ())
    if not isinstance(given, tuple):
        yield 'SPREADS is a tuple of skills with milliseconds: (("regular", 17), …)'
        return
    skills = [row[0] for row in season.SHOT_ODDS if isinstance(row, tuple) and row]
    for number, row in enumerate(given, 1):
        if not isinstance(row, tuple) or len(row) != 2 or type(row[1]) is not int or not 1 <= row[1] <= 500:
            yield f"SPREADS, row {number} is a skill and 1 to 500 milliseconds, not {row!r}"
        elif row[0] not in skills:
            near = did_you_mean(str(row[0]), skills)
            yield f"SPREADS has the skill '{row[0]}', which SHOT_ODDS has not{near}"


def _total(shots: Sequence[tuple[object, object]]) -> int:
    return sum(weight for _shot, weight in shots if isinstance(weight, int))
