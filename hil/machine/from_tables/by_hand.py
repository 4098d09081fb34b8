"""What stays by hand when a game is moved over: irregular rows of host/routes.py, keys.py, coils.py."""

from hil.games import Game
from hil.machine import writing
from hil.machine.from_tables import comparing
from hil.machine.printing import table
from hil.machine.tables import HostTables

ABOUT = {
    "routes": "Where balls go otherwise than as usual. Times are milliseconds.",
    "keys": "Keys at the desk that are other than the made ones.",
    "coils": "Windings that no line of the machine file has.",
}
COLUMNS = {
    "DEVICES": writing.DEVICES,
    "FLIPPERS": writing.BATS,
    "WHEELS": writing.WHEELS,
    "SHOTS": writing.SHOTS,
    "COILS": writing.WOUND,
}


def files(game: Game, made: HostTables) -> dict[str, str]:
    """The text of each file that is there, by its path in the game's folder; "": all is regular."""
    found = {}
    for name in ABOUT:
        if (game.folder / "host" / f"{name}.py").is_file():
            parts = _parts(game, name, made)
            body = "\n\n".join("\n".join(part) for part in parts)
            path = f"host/{name}.py"
            found[path] = f'"""{ABOUT[name]}"""\n\n# fmt: off\n{body}\n' if parts else ""
    return found


def _parts(game: Game, name: str, made: HostTables) -> list[list[str]]:
    present = game.host(name)
    if name == "keys":
        groups = comparing.irregular_keys(made.KEYS, present.KEYS)
        return [table("KEYS", groups)] if groups else []
    tables = ("COILS",) if name == "coils" else comparing.OF_ROUTES
    parts = []
    for each in tables:
        rows = comparing.irregular_rows(each, made, getattr(present, each, ()))
        if rows:
            parts.append(table(each, rows, COLUMNS.get(each, "")))
    return parts
