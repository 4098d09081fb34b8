"""Row 13: malformed scripts, games, settings and frames must be refused, each fault in one clear sentence.

Under MicroPython, which parses no scripts: frames and settings by boards/unix/trials/garbage.py, and
spoilt games on the unix board.
"""

import tempfile
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from firmware.base.errors import GameError, ScriptError
from firmware.board import Board
from firmware.link import frames
from hil import games
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.targets import wire
from hil.benchmarks.reliability import MICROPYTHON, Result, trials
from hil.benchmarks.reliability.loop import LoopMachine, LoopPort, with_cached_files
from hil.benchmarks.reliability.spoilt_games import (
    SMALL,
    Games,
    GamesOnMicroPython,
    UnclearError,
    require_one_sentence,
    spoil,
)
from hil.game_tables import setting_rows

GAME = "honey_flow"
LONGEST_S = 5.0  # of this process's time; a trial that takes longer hangs
A_GAME = 100  # under MicroPython one of so many trials is a game
OFTEN = (("script", 700), ("setting", 150), ("frame", 145), ("game", 5))


def run(number: int, count: int, seed: int, on: str) -> Iterator[Result]:
    """Try `count` malformed inputs, most of them scripts, each cut short or with one to three changes."""
    yield run_on_micropython(number, count, seed) if on == MICROPYTHON else run_here(count, seed)


def run_here(count: int, seed: int) -> Result:
    """Try `count` malformed inputs in this process."""
    result = Result()
    rng = Random(seed)
    with _trials(rng) as trials:
        while result.ran < count:
            kind = rng.choices([name for name, _ in OFTEN], [weight for _, weight in OFTEN])[0]
            result.ran += 1
            began = time.process_time()
            try:
                refused = trials[kind]()
                result.count(f"{kind}s refused" if refused else f"{kind}s that are still right")
            except Exception as error:
                result.failed(f"{kind}: {type(error).__name__}: {error}")
            took = time.process_time() - began
            if took > LONGEST_S:
                result.failed(f"{kind}: took {took:.1f} s")
    return result


def run_on_micropython(number: int, count: int, seed: int) -> Result:
    """Try `count` malformed inputs under MicroPython: frames, settings and games."""
    spoilt = max(1, count // A_GAME)
    result = trials.there(number, count - spoilt, seed)
    with tempfile.TemporaryDirectory(prefix="inlane-malformed-") as folder:
        given = GamesOnMicroPython(Random(seed), Path(folder))
        for _ in range(spoilt):
            result.ran += 1
            try:
                result.count("games refused" if given.trial() else "games that are still right")
            except Exception as error:
                result.failed(f"game: {type(error).__name__}: {error}")
    return result


class NoCoilBoard(Board):
    """Outputs on which no coil may be switched on."""

    def pulse(self, coil: int, ms: int) -> None:
        """Raises UnclearError."""
        raise UnclearError(f"coil {coil} was energised")

    def hold(self, coil: int) -> None:
        """Raises UnclearError."""
        raise UnclearError(f"coil {coil} was energised")


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


class Scripts:
    """Trials with spoilt scripts of the game."""

    def __init__(self, rng: Random) -> None:
        game = games.load(GAME)
        self._rng = rng
        self._vocabulary = of_game(game)
        self._texts = [path.read_text(encoding="utf-8") for path in sorted(game.scripts.glob("*.play"))]

    def trial(self) -> bool:
        """Parse one spoilt script; whether it was refused. Raises UnclearError."""
        text = spoil(self._rng.choice(self._texts), self._rng)
        try:
            script.parse(text, Path("bad.play"), self._vocabulary, "bad.play")
        except ScriptError as error:
            for said in str(error).split("\n"):
                require_one_sentence(said, "bad.play")
            return True
        return False


class Settings:
    """Trials with misspelt or out-of-range settings."""

    def __init__(self, rng: Random) -> None:
        game = games.load(SMALL)
        self._game = game
        self._rng = rng
        self._rows = {row.name: row for row in setting_rows(game.module)}

    def trial(self) -> bool:
        """Give one misspelt or out-of-range setting; whether it was refused. Raises UnclearError."""
        rng = self._rng
        name = spoil(rng.choice(list(self._rows)), rng)
        value = rng.choice((rng.randrange(-(2**31), 2**31), rng.randrange(-3, 12)))
        try:
            self._game.console(settings={name: value})
        except GameError as error:
            if name not in str(error):
                raise UnclearError(str(error)) from None
            return True
        row = self._rows[name]
        if not row.least <= value <= row.most:
            raise UnclearError(f"setting {name} took {value}")
        return False


class Frames:
    """Trials with frames whose checksum is right and whose type or payload is senseless."""

    def __init__(self, rng: Random) -> None:
        self._rng = rng
        self._game = with_cached_files(games.load(SMALL))

    def trial(self) -> bool:
        """Send one senseless frame; whether it was refused or ignored. Raises UnclearError."""
        rng = self._rng
        port = LoopPort(LoopMachine(self._game, NoCoilBoard()))
        payload = rng.randbytes(rng.choice((0, 1, 2, 3, 4, 5, 8, 16, 17, 20)))
        frame = wire.pack(0, rng.randrange(256), payload)
        if rng.randrange(4) == 0:
            frame = frame[: rng.randrange(len(frame))] + b"\0"
        port.write(rng.randbytes(rng.randrange(3)) + b"\0" + frame)
        said = port.read(64)
        port.write(wire.pack(0, frames.HELLO, bytes(frames.NONCE) + bytes((frames.PROTOCOL,))))
        if not port.read(64):
            raise UnclearError(f"the device no longer answers after {frame.hex()}")
        chunks = [chunk for chunk in said.split(b"\0") if chunk]
        return not chunks or wire.unpack(chunks[0])[1] == frames.FAULT
