"""One row of the reliability table by itself, under either Python; prints what came of it.

    micropython boards/unix/trials/run.py ROW COUNT SEED

First line: trials, failures, then name=count pairs; then a line for each of the first failures.
"""

import sys

ROWS = (
    # row, module beside this one that has run(row, count, seed)
    (1, "store"),
    (2, "store"),
    (3, "store"),
    (4, "store"),
    (8, "storms"),
    (10, "stops"),
    (11, "saves"),
    (12, "wraps"),
    (13, "garbage"),
    (14, "soak"),
    (15, "locked"),
    (19, "starts"),
)


def run(row: int, count: int, seed: int) -> "Tally":
    """Run one row of the reliability table."""
    for number, name in ROWS:
        if number == row:
            module = "boards.unix.trials." + name
            __import__(module)
            tally: Tally = sys.modules[module].run(row, count, seed)
            return tally
    raise ValueError("row " + str(row) + " has no trials here")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.unix.trials.tally import Tally

if __name__ == "__main__":
    _program, row, count, seed = sys.argv
    run(int(row), int(count), int(seed)).tell()
