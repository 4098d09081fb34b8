"""Row 16: the trace hashes of random scripts, for two Pythons to be held against each other.

    micropython boards/unix/trials/trace_hashes.py COUNT SEED

prints a hash a line. A script is SCRIPT_MS of random play; A_MACHINE of them follow each other on one
machine, the games in turn.
"""

import sys

from boards.unix.trials import machines

SCRIPT_MS = 6_000
A_MACHINE = 50


def digests(count: int, seed: int) -> "Iterator[str]":
    """The hash of each script's records."""
    made = 0
    while made < count:
        number = made // A_MACHINE
        play = machines.play(machines.GAMES[number % len(machines.GAMES)], seed + number)
        for _ in range(min(A_MACHINE, count - made)):
            play.go(SCRIPT_MS)
            made += 1
            yield play.digest()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

if __name__ == "__main__":
    _program, count, seed = sys.argv
    for digest in digests(int(count), int(seed)):
        print(digest)
