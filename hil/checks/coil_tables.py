"""A game's coil supply and windings, from its machine file or its host/coils.py."""

from firmware.base.errors import GameError
from hil.electrical.sums.drive import Feed
from hil.electrical.windings import WindingRow, feed_of_row, winding_of_row
from hil.games import Game
from hil.machine.expanding import FILE, expand

BY_HAND = "host/coils.py"


def file_of(game: Game) -> str:
    """The file of the game in which windings are declared."""
    return FILE if (game.folder / FILE).is_file() else BY_HAND


def lines_of(game: Game) -> dict[str, int]:
    """The line of the machine file that gives each coil; none of a game without one."""
    path = game.folder / FILE
    made = expand(path, FILE)[0] if path.is_file() else None
    return made.coil_lines if made else {}


def has_windings(game: Game) -> bool:
    """Whether the game declares a coil supply and windings."""
    return game.has_tables("coils") and hasattr(game.tables("coils"), "SUPPLY")


def feed_of(game: Game) -> Feed:
    """The coil supply. Raises GameError, also when none is declared; UsageError for impossible values."""
    return feed_of_row(_table(game, "SUPPLY"))


def winding_rows(game: Game) -> list[WindingRow]:
    """The windings, in the order of the table. Raises GameError, also when none is declared."""
    return [winding_of_row(row) for row in _table(game, "COILS")]


def _table(game: Game, name: str) -> tuple[object, ...]:
    found = getattr(game.tables("coils"), name, None)
    if not isinstance(found, tuple):
        raise GameError(f"{file_of(game)} needs {name}, a tuple, not {found!r}")
    return found
