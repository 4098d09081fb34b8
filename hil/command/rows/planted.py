"""Row 17: planted faults in rules and drivers; scripts must catch each; one is shrunk to its minimum."""

import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random

from firmware.base.errors import UsageError
from hil.bench import faults
from hil.bench.failure import STANDING
from hil.bench.faults import HOST, Fault
from hil.bench.outcome import FAIL, PASS
from hil.bench.shrink import shrunk
from hil.benchmarks.reliability import Result
from hil.command.judging import Judge

GAME = "honey_flow"
LIST = HOST / "tests" / "faults" / f"{GAME}.toml"


def run(number: int, count: int, seed: int, on: str) -> Iterator[Result]:
    """Plant up to `count` faults of the list, in an order drawn from `seed`."""
    listed = faults.read(LIST)
    Random(seed).shuffle(listed)
    sound = Judge(HOST, GAME)
    try:
        for fault in listed[:count]:
            result = Result(ran=1)
            _hunt(fault, sound, result)
            yield result
    finally:
        sound.close()


def _hunt(fault: Fault, sound: Judge, result: Result) -> None:
    with tempfile.TemporaryDirectory(prefix="inlane-planted-") as folder:
        try:
            judge = Judge(faults.inject(fault, Path(folder)), GAME)
        except UsageError as error:
            result.failed(f"{fault.name}: {error}")
            return
        try:
            _judged(fault, judge, sound, result)
        finally:
            judge.close()


def _judged(fault: Fault, judge: Judge, sound: Judge, result: Result) -> None:
    caught = _first_red(fault, judge)
    if caught is None:
        result.failed(f"{fault.name}: no script that covers {fault.feature} fails")
        return
    name, text, expected = caught

    def still_tells(lines: list[str]) -> bool:
        candidate = "\n".join(lines)
        told = judge.verdict(name, candidate)
        return told == (FAIL, expected) and sound.verdict(name, candidate)[0] == PASS

    before = [line for line in text.split("\n") if line.partition("#")[0].strip()]
    if not still_tells(before):
        result.failed(f"{fault.name}: {name} does not hold without the fault")
        return
    after = shrunk(before, still_tells)
    result.count(
        "caught by a standing check" if expected.startswith(STANDING) else "caught by an expectation"
    )
    result.count("lines before", len(before))
    result.count("lines after", len(after))
    result.most("longest minimal script", len(after))


def _first_red(fault: Fault, judge: Judge) -> tuple[str, str, str] | None:
    """The first script of the fault's feature that fails: name, text, what was expected."""
    folder = faults.FIRMWARE / "games" / GAME / "scripts"
    for name in faults.covering(GAME, fault.feature):
        text = (folder / name).read_text(encoding="utf-8")
        code, expected = judge.verdict(name, text)
        if code == FAIL:
            return name, text, expected
    return None
