"""Row 16: random scripts must have the same trace hash in this process and under MicroPython."""

import subprocess
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path

from boards.unix.trials import trace_hashes
from hil import micropython
from hil.benchmarks.reliability import Result
from hil.workers import map_in_order, parts

PIECE = 10  # machines, an even number: the games take turns
PROGRAM = str(trace_hashes.__file__)


def run(_row: int, count: int, seed: int, _on: str, workers: int) -> Iterator[Result]:
    """Run `count` scripts on both; boards/unix/trials/trace_hashes.py defines them."""
    traces: set[str] = set()
    sizes = parts(count, PIECE * trace_hashes.A_MACHINE)
    jobs = [(size, seed + number * PIECE) for number, size in enumerate(sizes)]
    for piece, seen in map_in_order(_piece, jobs, min(workers, len(jobs))):
        traces |= seen
        yield piece
    hours = count * trace_hashes.SCRIPT_MS // 3_600_000
    yield Result(counts={"different traces": len(traces), "simulated hours": hours})


def _piece(job: tuple[int, int]) -> tuple[Result, set[str]]:
    return compare(*job)


def compare(count: int, seed: int, firmware: Path | None = None) -> tuple[Result, set[str]]:
    """Compare `count` scripts; the result and the hashes. `firmware`: another firmware for MicroPython."""
    result = Result()
    seen = set()
    for number, (here, there) in enumerate(
        zip_longest(trace_hashes.digests(count, seed), _there(count, seed, firmware))
    ):
        result.ran += 1
        seen.add(here)
        if here != there:
            result.failed(f"script {number} of seed {seed}: {here} here, {there} under MicroPython")
    return result, seen


def _there(count: int, seed: int, firmware: Path | None) -> Iterator[str]:
    """Yields the hashes of MicroPython; fewer when its process ends early."""
    environment = micropython.environment()
    if firmware:
        environment["MICROPYPATH"] = f"{firmware}:{environment['MICROPYPATH']}"
    command = [micropython.find(), PROGRAM, str(count), str(seed)]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout
        for line in process.stdout:
            yield line.strip()
