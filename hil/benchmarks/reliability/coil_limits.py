"""Row 8 of the reliability table: random contact changes, while the coils' drives are checked.

boards/unix/trials/storms.py checks the drives after every change, on either Python. In this process the
shipped code is also compared with the reference model. That takes longer, so it covers fewer: for `count`
changes count / CHANGES_PER_MS milliseconds, or the smaller of `count` and PART_MS when that is more.
"""

from collections.abc import Iterator

from hil.benchmarks.reference_model import compare
from hil.benchmarks.reliability import MICROPYTHON, Result, trials
from hil.workers import map_in_order, parts

PART_MS = 20_000
CHANGES_PER_MS = 100


def run(row: int, count: int, seed: int, on: str, workers: int) -> Iterator[Result]:
    """Check `count` contact changes; in this process also compare with the reference model."""
    yield from trials.run(row, count, seed, on, workers)
    if on != MICROPYTHON:
        yield from compare_with_model(max(min(count, PART_MS), count // CHANGES_PER_MS), seed, workers)


def compare_with_model(ms: int, seed: int, workers: int) -> Iterator[Result]:
    """Compare the code with the reference model for `ms` milliseconds, split among `workers`."""
    jobs = [(part, seed + number) for number, part in enumerate(parts(ms, PART_MS))]
    yield from map_in_order(_compare_part, jobs, min(workers, len(jobs)))


def _compare_part(job: tuple[int, int]) -> Result:
    ms, seed = job
    result = Result()
    result.count("compared: ms", ms)
    counts, difference = compare(ms, seed)
    for name, n in counts.items():
        result.count(f"compared: {name}", n)
    if difference:
        result.failed(difference)
    return result
