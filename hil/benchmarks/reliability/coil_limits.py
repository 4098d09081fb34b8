"""Row 8: storms of contact changes; in this process the code is also compared with the reference model.

boards/unix/trials/storms.py checks the drives on either Python after every change. The comparison with
the reference model takes longer, so it covers 1 ms for each CHANGES_A_MS changes, PIECE_MS at least.
"""

from hil.benchmarks.reference_model import compare
from hil.benchmarks.reliability import MICROPYTHON, Result, trials
from hil.workers import map_in_order, parts

PIECE_MS = 20_000
CHANGES_A_MS = 100


def run(row: int, count: int, seed: int, on: str, workers: int) -> Result:
    """Check `count` contact changes; in this process also compare with the reference model."""
    result = trials.run(row, count, seed, on, workers)
    if on != MICROPYTHON:
        result.add(compared(max(min(count, PIECE_MS), count // CHANGES_A_MS), seed, workers))
    return result


def compared(ms: int, seed: int, workers: int) -> Result:
    """Compare the code with the reference model for `ms` milliseconds, split among `workers`."""
    result = Result()
    jobs = [(part, seed + number) for number, part in enumerate(parts(ms, PIECE_MS))]
    for piece in map_in_order(_piece, jobs, min(workers, len(jobs))):
        result.add(piece)
    return result


def _piece(job: tuple[int, int]) -> Result:
    ms, seed = job
    result = Result()
    result.count("compared: ms", ms)
    counts, difference = compare(ms, seed)
    for name, n in counts.items():
        result.count(f"compared: {name}", n)
    if difference:
        result.failed(difference)
    return result
