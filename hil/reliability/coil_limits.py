"""Row 8: storms of contacts. In this process the twin is also compared with the slow board, state by state.

The drives are judged by boards/unix/trials/storms.py on either Python.
"""

from hil.reliability import MICROPYTHON, Result, trials
from hil.slow_board import compare

PIECE_MS = 20_000


def run(row: int, count: int, seed: int, on: str) -> Result:
    """`count` changes of contacts watched; in this process as many milliseconds compared besides."""
    result = trials.run(row, count, seed, on)
    return result if on == MICROPYTHON else compared(result, count, seed)


def compared(result: Result, count: int, seed: int) -> Result:
    """The same with `count` milliseconds of the twin held against the slow board, in pieces."""
    done = 0
    while done < count:
        piece = min(PIECE_MS, count - done)
        counts, difference = compare(piece, seed + done)
        done += piece
        for name, n in counts.items():
            result.tally(f"compared: {name}", n)
        if difference:
            result.failed(difference)
    result.counts["compared: ms"] = done
    return result
