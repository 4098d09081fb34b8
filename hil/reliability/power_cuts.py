"""Rows 1 to 4: the store through power cuts and damage, on a flash that tears.

The trials themselves are `boards/unix/store_trials.py`, one file for both Pythons.
"""

from boards.unix import store_trials
from firmware.base.errors import LinkError
from hil import micropython
from hil.reliability import MICROPYTHON, Result

CONTROL = 3
TRIALS = micropython.MAIN.with_name("store_trials.py")
PATIENCE_S = 7200


def run(row: int, count: int, seed: int, on: str) -> Result:
    """At least `count` trials of one row."""
    result = _process(row, count, seed) if on == MICROPYTHON else _here(row, count, seed)
    return _control(result) if row == CONTROL else result


def _here(row: int, count: int, seed: int) -> Result:
    tally = store_trials.run(row, count, seed)
    return Result(tally.ran, tally.failures, tally.wrong, dict(tally.counts))


def _process(row: int, count: int, seed: int) -> Result:
    done = micropython.run(str(TRIALS), str(row), str(count), str(seed), timeout_s=PATIENCE_S)
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
    """The naive store must lose data, or these trials show nothing about the other one."""
    control = Result(result.ran, 0, [], dict(result.counts))
    control.counts["saves lost by the naive store"] = result.failures
    if not result.failures:
        control.failed("the naive store lost nothing: the trials do not see a loss")
    return control
