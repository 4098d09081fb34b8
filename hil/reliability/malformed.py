"""Row 13: scripts, games, settings and frames with something wrong: one clear sentence, nothing else."""

import shutil
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from firmware.base.errors import GameError, InlaneError, ScriptError
from firmware.board import Board
from firmware.link import frames
from hil import games, script, wire
from hil.reliability import Result
from hil.reliability.loop import LoopMachine, LoopPort, still
from hil.vocabulary import of_game

GAME = "honey_flow"
SMALL = "kit_room"
LONGEST_S = 5.0  # a trial that takes longer hangs
TABLES = ("wiring.py", "settings.py", "game.py")
BYTES = "\t\n #\"'(),.:-_09azAZ{}[]=äé\u2028\0"
OFTEN = (("script", 700), ("setting", 150), ("frame", 145), ("game", 5))


def run(number: int, count: int, seed: int, on: str) -> Result:
    """`count` malformed things, most of them scripts, each by one to three changes or cut short."""
    result = Result()
    rng = Random(seed)
    with _trials(rng) as trials:
        while result.ran < count:
            kind = rng.choices([row[0] for row in OFTEN], [row[1] for row in OFTEN])[0]
            result.ran += 1
            began = time.perf_counter()
            try:
                refused = trials[kind]()
                result.tally(f"{kind}s refused" if refused else f"{kind}s that are still right")
            except Exception as error:
                result.failed(f"{kind}: {type(error).__name__}: {error}")
            took = time.perf_counter() - began
            if took > LONGEST_S:
                result.failed(f"{kind}: took {took:.1f} s")
    return result


class NotClear(Exception):
    """What was said is not one sentence with its place, or something was energised."""


class Quiet(Board):
    """Outputs on which no coil may be switched."""

    def pulse(self, coil: int, ms: int) -> None:
        raise NotClear(f"coil {coil} was energised")

    def hold(self, coil: int) -> None:
        raise NotClear(f"coil {coil} was energised")


@contextmanager
def _trials(rng: Random) -> Iterator[dict[str, Callable[[], bool]]]:
    with tempfile.TemporaryDirectory(prefix="inlane-malformed-") as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore", SyntaxWarning)
        scripts = Scripts(rng)
        yield {
            "script": scripts.trial,
            "setting": Settings(rng).trial,
            "frame": Frames(rng).trial,
            "game": Games(rng, Path(folder)).trial,
        }


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


class Scripts:
    """Scripts of the game, spoilt."""

    def __init__(self, rng: Random) -> None:
        game = games.load(GAME)
        self._rng = rng
        self._vocabulary = of_game(game)
        self._texts = [path.read_text(encoding="utf-8") for path in sorted(game.scripts.glob("*.play"))]

    def trial(self) -> bool:
        text = spoil(self._rng.choice(self._texts), self._rng)
        try:
            script.parse(text, Path("bad.play"), self._vocabulary, "bad.play")
        except ScriptError as error:
            _clear(str(error), "bad.play")
            return True
        return False


class Settings:
    """Settings by wrong names or out of range."""

    def __init__(self, rng: Random) -> None:
        game = games.load(SMALL)
        self._game = game
        self._rng = rng
        self._rows = {row[0]: row for row in game.module.SETTINGS}

    def trial(self) -> bool:
        rng = self._rng
        name = spoil(rng.choice(list(self._rows)), rng)
        value = rng.choice((rng.randrange(-(2**31), 2**31), rng.randrange(-3, 12)))
        try:
            self._game.console(settings={name: value})
        except GameError as error:
            if name not in str(error):
                raise NotClear(str(error)) from None
            return True
        _, _, least, most, *_ = self._rows[name]
        if not least <= value <= most:
            raise NotClear(f"setting {name} took {value}")
        return False


class Frames:
    """Frames with a right checksum and a kind or payload that make no sense."""

    def __init__(self, rng: Random) -> None:
        self._rng = rng
        self._game = still(games.load(SMALL))

    def trial(self) -> bool:
        rng = self._rng
        port = LoopPort(LoopMachine(self._game, Quiet()))
        payload = rng.randbytes(rng.choice((0, 1, 2, 3, 4, 5, 8, 16, 17, 20)))
        frame = wire.pack(0, rng.randrange(256), payload)
        if rng.randrange(4) == 0:
            frame = frame[: rng.randrange(len(frame))] + b"\0"
        port.write(rng.randbytes(rng.randrange(3)) + b"\0" + frame)
        said = port.read(64)
        port.write(wire.pack(0, frames.HELLO, bytes(frames.NONCE) + bytes((frames.PROTOCOL,))))
        if not port.read(64):
            raise NotClear(f"the device no longer answers after {frame.hex()}")
        chunks = [chunk for chunk in said.split(b"\0") if chunk]
        return not chunks or wire.unpack(chunks[0])[1] == frames.FAULT


class Games:
    """A copy of a small game, one of whose tables is spoilt."""

    def __init__(self, rng: Random, folder: Path) -> None:
        self._rng = rng
        self._number = 0
        self._top = folder
        self._from = games.load(SMALL).folder

    def trial(self) -> bool:
        self._number += 1
        folder = self._top / f"spoilt_{self._number}"
        shutil.copytree(self._from, folder, ignore=shutil.ignore_patterns("__pycache__", "scripts"))
        for path in folder.rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace(f"firmware.games.{SMALL}", folder.name), encoding="utf-8")
        table = folder / self._rng.choice(TABLES)
        table.write_text(spoil(table.read_text(encoding="utf-8"), self._rng), encoding="utf-8")
        try:
            games.load(str(folder)).console()
        except InlaneError as error:
            _clear(str(error), "")
            return True
        finally:
            sys.path.remove(str(folder.parent)) if str(folder.parent) in sys.path else None
            for name in [name for name in sys.modules if name.partition(".")[0] == folder.name]:
                del sys.modules[name]
            shutil.rmtree(folder)
        return False


def _clear(said: str, place: str) -> None:
    """One line that begins with its place."""
    if "\n" in said or not said.startswith(place) or len(said) > 1_000 or "Traceback" in said:
        raise NotClear(repr(said))
