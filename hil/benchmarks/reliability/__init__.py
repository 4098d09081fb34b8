"""The reliability table: each row is a randomised test, run by its number with a count and a seed."""

import importlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from boards.unix.trials.tally import SHOWN, Tally
from firmware.base.errors import UsageError
from hil.workers import workers_here

PEAKS = ("longest", "most")  # names of counts that are greatest values begin so
PROCESS = "process"
MICROPYTHON = "micropython"


@dataclass(frozen=True)
class Row:
    """One row: what is injected, the tiers it can run on, and the module whose `run` yields results of parts.

    `shared`: its `run` takes the number of processes that share the count.
    """

    number: int
    title: str
    module: str
    tiers: Sequence[str]
    shared: bool = False


@dataclass
class Result(Tally):
    """The result of a row: `ran` trials, the first `wrong` ones in words, other counts by name."""

    ran: int = 0
    failures: int = 0
    wrong: list[str] = field(default_factory=list)
    counts: dict[str, int | float] = field(default_factory=dict)

    def most(self, name: str, n: float) -> None:
        """Record the greatest value of a name, to three places."""
        self.counts[name] = round(max(self.counts.get(name, 0), n), 3)

    def add(self, piece: "Result") -> None:
        """Add the result of a part of the count."""
        self.ran += piece.ran
        self.failures += piece.failures
        self.wrong = (self.wrong + piece.wrong)[:SHOWN]
        for name, n in piece.counts.items():
            if name.startswith(PEAKS):
                self.most(name, n)
            else:
                self.counts[name] = self.counts.get(name, 0) + n

    @property
    def passed(self) -> bool:
        """Whether trials ran and none failed."""
        return self.ran > 0 and self.failures == 0


BOTH = (PROCESS, MICROPYTHON)
HERE = "hil.benchmarks.reliability"

ROWS = (
    Row(1, "store: power cut anywhere in a save", HERE + ".trials", BOTH),
    Row(2, "store: power cut again while it recovers", HERE + ".trials", BOTH),
    Row(3, "store: the control, one sector rewritten, must lose data", HERE + ".trials", BOTH),
    Row(4, "store: flipped bits and sectors of noise", HERE + ".trials", BOTH),
    Row(5, "link: flipped bits", HERE + ".bad_line", BOTH),
    Row(6, "link: bytes and frames lost, doubled, swapped, put in", HERE + ".bad_line", BOTH),
    Row(7, "host lost in mid-run", HERE + ".lost_host", (MICROPYTHON,)),
    Row(8, "switch storm on the twin, drives watched", HERE + ".coil_limits", BOTH, shared=True),
    Row(
        9,
        "each switch stuck, closed and open, in each phase",
        "hil.command.rows.stuck_switch",
        BOTH,
        shared=True,
    ),
    Row(10, "stopped at any step, and rules that stall in a storm", HERE + ".trials", BOTH),
    Row(11, "a save is wanted while a coil is on", HERE + ".trials", BOTH),
    Row(12, "the clock wraps in mid-play", HERE + ".trials", BOTH, shared=True),
    Row(13, "malformed script, game, setting, frame", HERE + ".malformed", BOTH),
    Row(14, "long soak of engine and whole game, heap watched", HERE + ".trials", (MICROPYTHON,)),
    Row(15, "hot path with the heap locked", HERE + ".trials", (MICROPYTHON,)),
    Row(
        16, "random scripts, the same trace under both Pythons", HERE + ".tiers", (MICROPYTHON,), shared=True
    ),
    Row(17, "seeded bugs, each caught and shrunk", "hil.command.rows.planted", (PROCESS,)),
    Row(18, "wrong or stale device", HERE + ".strangers", BOTH),
    Row(19, "boards that are not fit at start", HERE + ".trials", BOTH),
    Row(
        20,
        "lost balls: failing coils, stray balls, two at once",
        "hil.command.rows.lost_balls",
        (PROCESS,),
        shared=True,
    ),
    Row(21, "games judged award by award", "hil.command.rows.rule_sheet", (PROCESS,), shared=True),
    Row(
        22,
        "the callback's limiter in 32 bits: stalls, new runs, lengths of any sign and size",
        HERE + ".stalled_callback",
        (PROCESS,),
        shared=True,
    ),
)


def run(
    number: int,
    count: int,
    seed: int,
    on: str = "",
    workers: int = 0,
    watch: Callable[[int], None] | None = None,
) -> tuple[Row, str, Result]:
    """Run one row on a tier (its first one by default), by one process a core or as many as given.

    The result does not depend on how many. `watch` is called with the trials so far. Raises UsageError.
    """
    for row in ROWS:
        if row.number == number:
            tier = on or row.tiers[0]
            if tier not in row.tiers:
                raise UsageError(f"row {number} runs on {' and '.join(row.tiers)}, not on '{on}'")
            module = importlib.import_module(row.module)
            more = (workers or workers_here(),) if row.shared else ()
            result = Result()
            for part in module.run(number, count, seed, tier, *more):
                result.add(part)
                if watch:
                    watch(result.ran)
            return row, tier, result
    known = ", ".join(str(row.number) for row in ROWS)
    raise UsageError(f"row {number} of the reliability table is not here; these are: {known}")
