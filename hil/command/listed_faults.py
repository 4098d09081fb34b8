"""The faults of a list: tried by scripts or by games that a model judges, the caught ones shrunk."""

import re
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from firmware.base.errors import UsageError
from hil.bench import faults
from hil.bench.faults import HOST, Fault, FaultResult
from hil.command.judging import Judge
from hil.command.small_scripts import SmallScript, small_script
from hil.games import BUILT_IN


def tried(listed: list[Fault], game: str, everywhere: bool, workers: int) -> list[FaultResult]:
    """Hunt each fault by the scripts that cover its feature, or by all with `everywhere`."""
    with ThreadPoolExecutor(workers) as pool:
        return list(pool.map(lambda fault: run(fault, game, everywhere), listed))


def run(fault: Fault, game: str, everywhere: bool = False) -> FaultResult:
    """Hunt one fault in a temporary copy of the firmware."""
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        return faults.hunt(fault, game, Path(folder), everywhere)


def judged_by_model(listed: list[Fault], game: str, games: int) -> list[FaultResult]:
    """Hunt each fault by games that the game's independent model judges."""
    sound = faults.season(HOST, game, games)
    return [_run_by_model(fault, game, games, sound) for fault in listed]


def _run_by_model(fault: Fault, game: str, games: int, sound: dict[str, str]) -> FaultResult:
    """`sound`: the differences without the fault."""
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        return faults.hunt_by_model(fault, game, Path(folder), games, sound)


def shrink(results: list[FaultResult], game: str, workers: int) -> dict[str, SmallScript]:
    """By fault, the smallest script that shows it; of those that a script caught."""
    caught = [result for result in results if result.failed_scripts]
    with ThreadPoolExecutor(workers) as pool:
        found = pool.map(lambda result: _shrunk(result, game), caught)
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
