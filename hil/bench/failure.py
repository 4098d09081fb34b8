"""How a script failed, in a form in which two runs can be compared."""

import re
from collections.abc import Collection
from dataclasses import dataclass

from hil.bench.outcome import FAIL, Outcome, Problem
from hil.bench.view import TraceEvent

STANDING = "a standing check"
LAST_MOVES = 6
STOPPED = "the machine keeps running"  # what a run expects whose rules raise
_TIME = re.compile(r"\d+\.\d{3} s")
_NUMBER = re.compile(r"\d[\d,.]*")


@dataclass(frozen=True)
class Failure:
    """What failed first, without its times; and what led to it.

    `expected`: the expectation, or what the action or standing check demanded. `seen`: what there was in its
    place. `led_to_it`: the last switch that closed and the events since, whether a game was running, and the
    last transitions of features.
    """

    expected: str
    seen: str
    led_to_it: tuple[str, ...] = ()


def failure_of(outcome: Outcome, features: Collection[str] = ()) -> Failure | None:
    """The failure of a run, None when it has none; the transitions of `features` led to it."""
    if outcome.code != FAIL:
        return None
    problem = outcome.problems[0]
    if problem.standing:
        return Failure(f"{STANDING}: {_NUMBER.sub('N', problem.expected)}", _NUMBER.sub("N", problem.seen))
    if not problem.line or problem.expected == STOPPED:
        return Failure(problem.expected, problem.seen)
    history = [event for event in outcome.history if event.ms <= problem.at_ms]
    return Failure(problem.expected, _seen(problem), _context(history, features))


def _seen(problem: Problem) -> str:
    return _TIME.sub("T", problem.seen)


def _context(history: list[TraceEvent], features: Collection[str]) -> tuple[str, ...]:
    """The last switch that closed with the events since, whether a game runs, the last moves of features."""
    last = max((at for at, each in enumerate(history) if each.kind == "edge" and each.value), default=0)
    since = [each.name for each in history[last:] if each.kind in ("edge", "event")]
    runs = [each.name for each in history if each.name in ("game.started", "game.over")][-1:]
    return (*since, *runs, *_moves(history, features)[-LAST_MOVES:])


def _moves(history: list[TraceEvent], features: Collection[str]) -> list[str]:
    """The transitions of features in this ball, each with the event before it."""
    found: list[str] = []
    event = ""
    for each in history:
        if each.kind == "event":
            event = each.name
            if event == "ball.started":
                found.clear()
        elif each.kind == "move" and each.name in features:
            found.append(f"{event}: {each.name} {each.value}")
    return found


def features_of(expected: str, covers: Collection[str], own: Collection[str]) -> Collection[str]:
    """Whose transitions lead to a failure: those of the features that the script covers.

    Without any, of the game's `own` features those that the expectation names; without any, all of them.
    """
    words = set(re.findall(r"\w+", expected))
    return covers or [name for name in own if name in words] or own
