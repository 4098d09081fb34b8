"""What goes into an image, laid out as the folder that MicroPython's build freezes: sources as they are.

Beside the firmware, the board and the game lie two modules that are written here: `main`, which MicroPython
starts, and `packed_charts` (hil.build.packing).
"""

import hashlib
import shutil
from pathlib import Path

import boards
from hil.build import packing
from hil.games import BUILT_IN, FIRMWARE, Game

BOARDS = Path(boards.__path__[0])
HOST_ONLY = {"pico_matrix": {"check.py", "interfaces.py", "image"}}
TYPES_ONLY = {
    FIRMWARE / "charts" / "interfaces.py",
    FIRMWARE / "play" / "interfaces.py",
    FIRMWARE / "play" / "name_types.py",
    FIRMWARE / "operator" / "interfaces.py",
}  # for type checkers
MAIN = """from boards.pico_matrix.start import start

start("{package}")
"""

Files = dict[str, bytes]  # content by path in the image


def engine_sources(board: str) -> Files:
    """Firmware and one board, unchanged, by their place in the image."""
    found = {"firmware/" + name: data for name, data in _modules(FIRMWARE, {BUILT_IN} | TYPES_ONLY)}
    found["firmware/games/__init__.py"] = (BUILT_IN / "__init__.py").read_bytes()
    found["boards/__init__.py"] = (BOARDS / "__init__.py").read_bytes()
    folder = BOARDS / board
    left_out = {folder / name for name in HOST_ONLY[board]}
    found |= {f"boards/{board}/{name}": data for name, data in _modules(folder, left_out)}
    return found


def game_sources(game: Game) -> Files:
    """The game's modules alone, by their place below the folder that imports begin at."""
    place = game.package.replace(".", "/")
    return {f"{place}/{name}": data for name, data in _modules(game.folder, {game.folder / "host"})}


def written(game: Game) -> Files:
    """The modules that are made for this game."""
    return {
        "main.py": MAIN.format(package=game.package).encode(),
        "packed_charts.py": packing.module(game.console()).encode(),
    }


def digest(files: Files) -> bytes:
    """SHA-256 over paths and contents, sorted by path."""
    sha = hashlib.sha256()
    for path in sorted(files):
        sha.update(path.encode() + b"\0" + len(files[path]).to_bytes(4, "little") + files[path])
    return sha.digest()


def lay_out(files: Files, folder: Path) -> None:
    """Make `folder` hold these files and no others; those that are there already keep their times."""
    for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
        if path.is_file() and path.relative_to(folder).as_posix() not in files:
            path.unlink()
    for name, data in files.items():
        target = folder / name
        if not target.is_file() or target.read_bytes() != data:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
    _drop_empty(folder)


def _drop_empty(folder: Path) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        if path.is_dir() and not any(path.iterdir()):
            shutil.rmtree(path)


def _modules(root: Path, left_out: set[Path]) -> list[tuple[str, bytes]]:
    found = []
    for path in sorted(root.rglob("*.py")):
        if not left_out.intersection((path, *path.parents)):
            found.append((path.relative_to(root).as_posix(), path.read_bytes()))
    return found
