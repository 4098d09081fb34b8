"""Compares two runs of one script: by trace hash in lock-step, by order and time in real time.

In real time each source (a lamp, a coil, a switch …) must have the same events in the same order. Each may
be TOLERANCE_MS earlier or later, plus one ms for each DRIFT_MS since the start, because every action of
the script waits for the line.
"""

from hil.bench.outcome import FAIL, Outcome, Problem
from hil.bench.session import TOLERANCE_MS
from hil.bench.view import TraceEvent, seconds

DRIFT_MS = 50  # one millisecond of tolerance more for each so many since the start
SHORT_HASH = 16

Source = tuple[str, str]


def compare_all(first: list[Outcome], second: list[Outcome]) -> None:
    """Compare runs pairwise; where two differ, the second one FAILs."""
    for one, other in zip(first, second, strict=True):
        if one.digest and other.digest:
            problem = _by_time(one, other) if one.real_time or other.real_time else _by_hash(one, other)
            if problem is not None:
                other.code = max(other.code, FAIL)
                other.problems.append(problem)


def _by_hash(one: Outcome, other: Outcome) -> Problem | None:
    if one.digest == other.digest:
        return None
    expected = f"the same trace hash as on {one.target}, {one.digest[:SHORT_HASH]}"
    return Problem(0, expected, other.digest[:SHORT_HASH], other.simulated_ms, standing=True)


def _by_time(one: Outcome, other: Outcome) -> Problem | None:
    there, here = _by_source(one.history), _by_source(other.history)
    for source in sorted(there.keys() | here.keys()):
        problem = _first_difference(one.target, source, there.get(source, []), here.get(source, []))
        if problem is not None:
            return problem
    return None


def _by_source(history: list[TraceEvent]) -> dict[Source, list[TraceEvent]]:
    found: dict[Source, list[TraceEvent]] = {}
    for event in history:
        found.setdefault((event.kind, event.name), []).append(event)
    return found


def _first_difference(
    target: str, source: Source, there: list[TraceEvent], here: list[TraceEvent]
) -> Problem | None:
    kind, name = source
    for at, (one, other) in enumerate(zip(there, here, strict=False), 1):
        allowed = TOLERANCE_MS + one.ms // DRIFT_MS
        if one.value != other.value or abs(one.ms - other.ms) > allowed:
            expected = f"{kind} {name}, number {at}, as on {target}: {one.value} at {seconds(one.ms)}"
            return Problem(0, expected, f"{other.value} at {seconds(other.ms)}", other.ms, standing=True)
    if len(there) != len(here):
        at_ms = (here or there)[-1].ms
        expected = f"{kind} {name} {len(there)} times, as on {target}"
        return Problem(0, expected, f"{len(here)} times", at_ms, standing=True)
    return None
