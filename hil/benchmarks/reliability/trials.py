"""Rows whose trials (`boards/unix/trials`) run under both Pythons: here, or in MicroPython processes."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from boards.unix.trials import run as both
from firmware.base.errors import LinkError, UsageError
from hil import micropython
from hil.benchmarks.reliability import MICROPYTHON, Result
from hil.workers import map_in_order, parts

PIECES = {8: (50_000, 1), 12: (500, 50)}  # row: trials of a piece, seeds that they use
CONTROL = 3
CONTROL_LEAST = 301  # the first 300 power cuts are in the first save, before which there is nothing to lose
TRIALS = str(both.__file__)
PATIENCE_S = 4 * 3600

Trial = Callable[[int, int, int], Result]


def run(row: int, count: int, seed: int, on: str, workers: int = 1) -> Iterator[Result]:
    """Run at least `count` trials of one row. Raises UsageError: too few for its control to show a loss."""
    if row == CONTROL and count < CONTROL_LEAST:
        raise UsageError(
            f"row {CONTROL} needs --count {CONTROL_LEAST} or more, not {count}: "
            "the first 300 power cuts are in the first save, before which there is nothing to lose"
        )
    trial = there if on == MICROPYTHON else here
    if row in PIECES:
        yield from in_pieces(row, count, seed, trial, workers)
    else:
        result = trial(row, count, seed)
        yield _control(result) if row == CONTROL else result


def in_pieces(row: int, count: int, seed: int, trial: Trial, workers: int) -> Iterator[Result]:
    """Run a row in pieces, each with the seeds after those of the piece before."""
    size, seeds = PIECES[row]
    jobs = [(row, part, seed + number * seeds) for number, part in enumerate(parts(count, size))]
    yield from map_in_order(partial(_piece, trial), jobs, min(workers, len(jobs)))


def _piece(trial: Trial, job: tuple[int, int, int]) -> Result:
    return trial(*job)


def here(row: int, count: int, seed: int) -> Result:
    """Run a row's trials in this process."""
    tally = both.run(row, count, seed)
    return Result(tally.ran, tally.failures, tally.wrong, dict(tally.counts))


def there(row: int, count: int, seed: int, firmware: Path | None = None) -> Result:
    """Run a row's trials in a MicroPython process; `firmware`: the folder of another firmware."""
    words = (TRIALS, str(row), str(count), str(seed))
    done = micropython.run(*words, also=str(firmware or ""), timeout_s=PATIENCE_S)
    lines = done.stdout.splitlines()
    if done.returncode or not lines:
        raise LinkError(f"the trials under MicroPython ended early: {(done.stderr + done.stdout)[-200:]}")
    ran, failures, *pairs = lines[0].split()
    counts: dict[str, int | float] = {}
    for pair in pairs:
        name, _, number = pair.partition("=")
        counts[name.replace("_", " ")] = int(number)
    return Result(int(ran), int(failures), lines[1:], counts)


def _control(result: Result) -> Result:
    """The naive store must lose data, or the trials prove nothing about the other one."""
    control = Result(result.ran, 0, [], dict(result.counts))
    control.counts["saves lost by the naive store"] = result.failures
    if not result.failures:
        control.failed("the naive store lost nothing: the trials do not see a loss")
    return control
