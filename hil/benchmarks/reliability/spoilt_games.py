"""Games with a spoilt table, for row 13: loaded in this process, and on the unix board."""

import re
import shutil
import subprocess
import sys
from pathlib import Path
from random import Random

from firmware.base.errors import InlaneError
from firmware.link import frames
from hil import games, micropython
from hil.bench.targets import wire

SMALL = "kit_room"
TABLES = ("wiring.py", "settings.py", "game.py")
BYTES = "\t\n #\"'(),.:-_09azAZ{}[]=äé\u2028\0"
GONE_S = 60  # a process that takes longer hangs


class UnclearError(Exception):
    """A message is not one sentence with its place, or a coil was energised."""


def require_one_sentence(said: str, place: str) -> None:
    """Raises UnclearError unless a message is one line that begins with its place."""
    if "\n" in said or not said.startswith(place) or len(said) > 1_000 or "Traceback" in said:
        raise UnclearError(repr(said))


def spoil(text: str, rng: Random) -> str:
    """`text` cut short, or with one to three characters or lines changed."""
    if rng.randrange(4) == 0:
        return text[: rng.randrange(len(text))]
    for _ in range(rng.randrange(1, 4)):
        at = rng.randrange(len(text) + 1)
        what = rng.randrange(5)
        if what == 0:
            text = text[:at] + text[at + rng.randrange(1, 8) :]
        elif what == 1:
            text = text[:at] + rng.choice(BYTES) + text[at:]
        elif what == 2:
            text = text[:at] + rng.choice(BYTES) + text[at + 1 :]
        else:
            lines = text.split("\n")
            one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
            lines[one] = lines[other] + " " + lines[one] if what == 3 else lines[other]
            text = "\n".join(lines)
    return text


class Games:
    """Trials with copies of a small game, one table of which is spoilt."""

    def __init__(self, rng: Random, folder: Path) -> None:
        self._rng = rng
        self._number = 0
        self._top = folder
        self._from = games.load(SMALL).folder

    def trial(self) -> bool:
        """Load one game with a spoilt table; whether it was refused. Raises UnclearError."""
        self._number += 1
        folder = self._top / f"spoilt_{self._number}"
        shutil.copytree(self._from, folder, ignore=shutil.ignore_patterns("__pycache__", "scripts"))
        for path in folder.rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace(f"firmware.games.{SMALL}", folder.name), encoding="utf-8")
        table = folder / self._rng.choice(TABLES)
        table.write_text(spoil(table.read_text(encoding="utf-8"), self._rng), encoding="utf-8")
        try:
            return self._refused(folder)
        finally:
            shutil.rmtree(folder)

    def _refused(self, folder: Path) -> bool:
        """Whether the game was refused, in one sentence."""
        try:
            games.load(str(folder)).console()
        except InlaneError as error:
            require_one_sentence(str(error), "")
            return True
        finally:
            sys.path.remove(str(folder.parent)) if str(folder.parent) in sys.path else None
            for name in [name for name in sys.modules if name.partition(".")[0] == folder.name]:
                del sys.modules[name]
        return False


class GamesOnMicroPython(Games):
    """The same trials on the unix board: a host greets it and starts a run in lock-step."""

    def _refused(self, folder: Path) -> bool:
        ask = wire.pack(0, frames.HELLO, bytes(frames.NONCE) + bytes((frames.PROTOCOL,)))
        ask += wire.pack(1, frames.START, bytes((frames.LOCK_STEP, 1, 0, 0, 0)))
        pins = folder.with_name("pins.log")
        command = [micropython.find(), str(micropython.MAIN), "--game", str(folder), "--pins", str(pins)]
        done = subprocess.run(
            command, input=ask, capture_output=True, timeout=GONE_S, env=micropython.environment()
        )
        if pins.exists() and pins.read_text():
            raise UnclearError(f"pins changed: {pins.read_text()[:100]}")
        said = fault_text(done)
        if said:
            require_one_sentence(said, "")
            if not re.search(r"[a-z_]+\.py:\d+", said):
                raise UnclearError(f"it does not say where: {said}")
        return bool(said)


def fault_text(process: "subprocess.CompletedProcess[bytes]") -> str:
    """The error that a board's process reports, on its line or on stderr; "" when it started a run."""
    kinds = {}
    for chunk in filter(None, process.stdout.split(b"\0")):
        try:
            _, kind, payload = wire.unpack(chunk)
        except wire.DamagedFrame:
            raise UnclearError(f"it printed {chunk[-200:]!r} on the line") from None
        kinds[kind] = payload
    if frames.FAULT in kinds:
        return kinds[frames.FAULT][1:].decode("utf-8", "replace")
    return "" if frames.STARTED in kinds else process.stderr.decode("utf-8", "replace").strip() or "nothing"
