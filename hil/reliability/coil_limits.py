"""Row 8: storms of contacts. In this process the code is also compared with the reference model.

The drives are judged by boards/unix/trials/storms.py on either Python, all the time; the model is slow,
and goes along with one millisecond for each hundred changes, PIECE_MS at least.
"""

from hil.reference_model import compare
from hil.reliability import MICROPYTHON, Result, trials
from hil.workers import map_in_order, parts

PIECE_MS = 20_000
CHANGES_A_MS = 100


def run(row: int, count: int, seed: int, on: str, workers: int) -> Result:
    """`count` changes of contacts watched, and in this process milliseconds compared besides."""
    result = trials.run(row, count, seed, on, workers)
    if on != MICROPYTHON:
        result.add(compared(max(min(count, PIECE_MS), count // CHANGES_A_MS), seed, workers))
    return result


def compared(ms: int, seed: int, workers: int) -> Result:
    """The code held against the reference model for so many milliseconds, in pieces."""
    result = Result()
    jobs = [(part, seed + number) for number, part in enumerate(parts(ms, PIECE_MS))]
    for piece in map_in_order(_piece, jobs, min(workers, len(jobs))):
        result.add(piece)
    return result


def _piece(job: tuple[int, int]) -> Result:
    ms, seed = job
    result = Result()
    result.tally("compared: ms", ms)
    counts, difference = compare(ms, seed)
    for name, n in counts.items():
        result.tally(f"compared: {name}", n)
    if difference:
        result.failed(difference)
    return result
