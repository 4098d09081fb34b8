"""Finds a game's folder by name or path, imports it and builds consoles for it."""

import ast
import difflib
import importlib
import sys
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import cast

import firmware
from firmware.base.errors import GameError, InlaneError, UsageError
from firmware.board import Board
from firmware.console import Console
from firmware.play.interfaces import Store as Store
from hil import host_tables
from hil.game_tables import GameModule, WiringTables

FIRMWARE = Path(firmware.__path__[0])
BUILT_IN = FIRMWARE / "games"


@dataclass(frozen=True)
class Game:
    """One game: its name, folder, package and `game` module."""

    name: str
    folder: Path
    package: str
    module: GameModule

    @property
    def wiring(self) -> WiringTables:
        """The game's wiring tables as written; hil.game_tables reads their rows."""
        return self.module.WIRING

    @property
    def scripts(self) -> Path:
        """The folder of the game's switch scripts."""
        return self.folder / "scripts"

    def console(
        self,
        seed: int = 1,
        settings: Mapping[str, int] | None = None,
        board: Board | None = None,
        store: Store | None = None,
        kind: type[Console] = Console,
    ) -> Console:
        """A new console of this game; without `board` it only records, without `store` nothing is persistent.

        Raises GameError when its tables do not fit together.
        """
        try:
            return kind(self.module, board, seed=seed, settings=dict(settings or {}), store=store)
        except InlaneError:
            raise
        except Exception as error:
            raise _broken(error, self.folder) from error

    def host(self, name: str) -> ModuleType:
        """A host-only module of the game, such as its ball routes or its drawing. Raises GameError."""
        if not self._has_host(name):
            raise GameError(f"game '{self.name}' has no host/{name}.py", str(self.folder))
        return _module(f"{self.package}.host.{name}", self.folder)

    def has_tables(self, name: str) -> bool:
        """Whether the game has such tables, made from its machine file or written by hand."""
        return self._has_host(host_tables.MADE) or self._has_host(name)

    def tables(self, name: str) -> ModuleType:
        """The game's `routes`, `keys` or `coils`: made from its machine file, those by hand put over them.

        Raises GameError when there are none.
        """
        if not self._has_host(host_tables.MADE):
            return self.host(name)
        made = self.host(host_tables.MADE)
        return host_tables.merge(made, self.host(name)) if self._has_host(name) else made

    def _has_host(self, name: str) -> bool:
        return (self.folder / "host" / f"{name}.py").is_file()

    def identity_files(self) -> list[tuple[str, bytes]]:
        """Every source file that makes the firmware and this game what they are: (path, bytes), sorted."""
        found = [
            ("firmware/" + path.relative_to(FIRMWARE).as_posix(), path)
            for path in FIRMWARE.rglob("*.py")
            if BUILT_IN not in path.parents
        ]
        found += [
            ("game/" + path.relative_to(self.folder).as_posix(), path)
            for path in self.folder.rglob("*.py")
            if "host" not in path.relative_to(self.folder).parts
        ]
        return [(name, path.read_bytes()) for name, path in sorted(found)]


def built_in() -> list[str]:
    """Names of the games that come with the firmware."""
    return sorted(path.parent.name for path in BUILT_IN.glob("*/game.py"))


def load(name_or_path: str) -> Game:
    """Load the game of this name or in this folder. Raises UsageError or GameError."""
    name, folder, package = locate(name_or_path)
    return _import(name, folder, package)


def locate(name_or_path: str) -> tuple[str, Path, str]:
    """Name, folder and package of a game that is not imported yet. Raises UsageError or GameError."""
    if name_or_path in built_in():
        return name_or_path, BUILT_IN / name_or_path, f"firmware.games.{name_or_path}"
    folder = Path(name_or_path).resolve()
    if not folder.is_dir():
        near = difflib.get_close_matches(name_or_path, built_in(), 1)
        hint = f"; did you mean '{near[0]}'?" if near else f"; built in: {', '.join(built_in())}"
        raise UsageError(f"there is no game '{name_or_path}', by name or as a folder{hint}")
    if not (folder / "game.py").is_file():
        raise GameError("a game folder needs a game.py", str(folder))
    if folder.parent == BUILT_IN:
        return folder.name, folder, f"firmware.games.{folder.name}"
    return folder.name, folder, folder.name


def forget(package: str) -> None:
    """Unload a game's modules, so that the next load reads its files again."""
    for key in [key for key in sys.modules if key == package or key.startswith(package + ".")]:
        del sys.modules[key]
    importlib.invalidate_caches()


def other_name(folder: Path, package: str) -> str:
    """Why a copied folder cannot be loaded: its game.py imports the tables of another name; "" if not."""
    path = folder / "game.py"
    try:
        tree = ast.parse(path.read_bytes())
    except (OSError, SyntaxError, ValueError):
        return ""  # reported when it is imported
    for node in tree.body:
        said = node.module or "" if isinstance(node, ast.ImportFrom) and not node.level else ""
        is_wiring = isinstance(node, ast.ImportFrom) and any(one.name == "wiring" for one in node.names)
        if is_wiring and said != package and not said.startswith("firmware.") and said.isidentifier():
            advice = f"rename the folder to {said}, or copy by: inlane new {package} --like ./{said}"
            return f"the folder is called {package}, its imports say {said}; {advice}"
    return ""


def _import(name: str, folder: Path, package: str) -> Game:
    misnamed = other_name(folder, package)
    if misnamed:
        raise GameError(misnamed, str(folder / "game.py"))
    if not package.startswith("firmware."):
        _put_on_import_path(str(folder.parent), package, folder)
    module = cast(GameModule, _module(f"{package}.game", folder))
    return Game(name, folder, package, module)


def _module(name: str, folder: Path) -> ModuleType:
    """A module of a game. Raises GameError, with the file and line where Python refused it."""
    try:
        return importlib.import_module(name)
    except InlaneError:
        raise
    except SyntaxError as error:
        raise GameError(f"{error.msg}", f"{error.filename}:{error.lineno}") from None
    except Exception as error:
        raise _broken(error, folder) from error


def _broken(error: Exception, folder: Path) -> GameError:
    words = " ".join(f"{type(error).__name__}: {error}".split())
    return GameError(words, _place_of(error, folder))


def _place_of(error: Exception, folder: Path) -> str:
    """The innermost line of the game that an exception came through, as file:line."""
    frames = traceback.extract_tb(error.__traceback__)
    inside = [frame for frame in frames if folder in Path(frame.filename).parents]
    return f"{inside[-1].filename}:{inside[-1].lineno}" if inside else str(folder / "game.py")


def _put_on_import_path(parent: str, package: str, folder: Path) -> None:
    """Put this folder first on the import path, and unload another package of the same name."""
    loaded = sys.modules.get(package)
    if loaded is not None and str(folder) not in list(getattr(loaded, "__path__", [])):
        forget(package)
    if parent in sys.path:
        sys.path.remove(parent)
    sys.path.insert(0, parent)
    importlib.invalidate_caches()
