"""The verdict on a replay behind a bad line or with faulty wires, in a sentence."""

from collections import Counter
from collections.abc import Sequence

from firmware.base.errors import UsageError
from hil.bench.compare import compare_all
from hil.bench.outcome import INVALID, PASS, Outcome
from hil.bench.targets.choose import IN_PROCESS


def check(target: str, line: str, real_time: bool) -> None:
    """Raises UsageError when the target has no line to be damaged."""
    if line and target in IN_PROCESS:
        raise UsageError(f"--line damages a serial line, and '{target}' has none; run --on micropython")
    if line and real_time:
        raise UsageError("--line is for lock-step; leave --real-time out")


def judge_line(line: str, outcomes: list[Outcome], good: list[Outcome]) -> str:
    """Compare with runs over no line; a run that took another trace for good FAILs by this."""
    compare_all(good, outcomes)
    invalid = sum(outcome.code == INVALID for outcome in outcomes)
    wrong = sum(
        bool(one.digest and other.digest) and one.digest != other.digest
        for one, other in zip(good, outcomes, strict=True)
    )
    same = len(outcomes) - invalid - wrong
    return (
        f"behind a line of {line}: {same} of {len(outcomes)} scripts came through with the trace of a good "
        f"line, {invalid} INVALID since damage was noticed, {wrong} with another trace"
    )


def judge_wires(wires: Sequence[str], outcomes: Sequence[Outcome]) -> str:
    """What scripts and the machine itself noticed of faulty wires."""
    failed = [outcome for outcome in outcomes if outcome.code != PASS]
    reported = Counter(fault for outcome in outcomes for fault in outcome.faults or ())
    known = any(outcome.faults is not None for outcome in outcomes)
    logged = ", ".join(f"{fault} in {count}" for fault, count in reported.most_common()) or "nothing"
    machine = f"; the machine's fault log has {logged}" if known else ""
    return (
        f"with {', '.join(wires)}: {len(outcomes) - len(failed)} of {len(outcomes)} scripts PASS, "
        f"{len(failed)} notice it{machine}"
    )
