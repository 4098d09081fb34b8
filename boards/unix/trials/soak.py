"""Row 14: play without end; the heap after a collection must not grow. Under MicroPython only."""

import gc

from boards.unix.trials import machines
from boards.unix.trials.tally import Tally

LOOK_MS = 600_000  # of play between two looks at the heap
WARM_LOOKS = 4  # what is made on first use, such as the operator's pages, is made by then
SLACK = 1024  # bytes: what the play itself has at hand differs from look to look
GAME = "honey_flow"


def run(_row: int, count: int, seed: int) -> Tally:
    """At least `count` events of one game that is never begun anew."""
    play = machines.play(GAME, seed)
    tally = Tally()
    looks: list[int] = []
    while play.events < count or len(looks) < 2 * WARM_LOOKS:
        play.go(LOOK_MS)
        gc.collect()
        looks.append(gc.mem_alloc())  # type: ignore[attr-defined]
    tally.ran = play.events
    judge(tally, looks[WARM_LOOKS:])
    tally.tally("looks at the heap", len(looks))
    tally.tally("hours of play", play.now // 3_600_000)
    tally.tally("coil commands", play.commands)
    tally.tally("records", play.records)
    tally.tally("games", play.console.play.counts.get("games"))
    return tally


def judge(tally: Tally, looks: "list[int]") -> None:
    """The greatest heap of the later half is not above that of the first by more than SLACK."""
    half = len(looks) // 2
    before = max(looks[:half])
    after = max(looks[half:])
    tally.tally("most bytes in the first half", before)
    tally.tally("most bytes in the later half", after)
    if after > before + SLACK:
        tally.failed(f"the heap grew from {before} to {after} bytes over {len(looks)} looks")
