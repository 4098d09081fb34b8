"""The faults of a list: tried by scripts or by games that a model judges, the caught ones shrunk."""

import re
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

from firmware.base.errors import UsageError
from hil.bench import faults
from hil.bench.faults import HOST, Fault, FaultResult
from hil.command.judging import Judge
from hil.command.small_scripts import SmallScript, small_script
from hil.games import BUILT_IN


class Way(NamedTuple):
    """How the faults of a list are hunted: by scripts of a built-in game, or by games that its model judges.

    `everywhere`: by every script, not only those that cover a fault's feature. `games`: a fault, at most.
    `workers`: faults tried at a time.
    """

    game: str
    everywhere: bool = False
    judge: str = ""
    games: int = 200
    workers: int = 1


def tried(listed: list[Fault], how: Way) -> list[FaultResult]:
    """Hunt each fault."""
    if how.judge:
        sound = faults.season(HOST, how.game, how.games)
        return [_run_by_model(fault, how, sound) for fault in listed]
    with ThreadPoolExecutor(how.workers) as pool:
        return list(pool.map(lambda fault: run(fault, how.game, how.everywhere), listed))


def run(fault: Fault, game: str, everywhere: bool = False) -> FaultResult:
    """Hunt one fault in a temporary copy of the firmware."""
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        return faults.hunt(fault, game, Path(folder), everywhere)


def _run_by_model(fault: Fault, how: Way, sound: dict[str, str]) -> FaultResult:
    """Hunt one fault by games that the game's independent model judges; `sound`: differences without it."""
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        return faults.hunt_by_model(fault, how.game, Path(folder), how.games, sound)


def shrink(results: list[FaultResult], how: Way) -> dict[str, SmallScript]:
    """By fault, the smallest script that shows it; of those that a script caught."""
    caught = [result for result in results if result.failed_scripts]
    with ThreadPoolExecutor(how.workers) as pool:
        found = pool.map(lambda result: _shrunk(result, how.game), caught)
        return {one.fault.name: small for one, small in zip(caught, found, strict=True) if small is not None}


def _shrunk(result: FaultResult, game: str) -> SmallScript | None:
    """The smallest script, made of the shortest one that fails."""
    texts = {name: _text(game, name) for name in result.failed_scripts}
    name = min(texts, key=lambda name: (texts[name].count("\n"), name))
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        faulty = Judge(faults.inject(result.fault, Path(folder).resolve()), game)
        sound = Judge(HOST, game)
        try:
            return small_script(name, texts[name], faulty, sound)
        finally:
            faulty.close()
            sound.close()


def _text(game: str, name: str) -> str:
    return (BUILT_IN / game / "scripts" / name).read_text(encoding="utf-8")


def write_small(small: dict[str, SmallScript], folder: Path) -> None:
    """Write the smallest scripts, a file each. Raises UsageError: not writable."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, one in small.items():
            file = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_") + ".play"
            (folder / file).write_text(one.as_text(f"The fault: {name}"), encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the scripts cannot be written: {error.strerror or error}", str(folder)) from None
