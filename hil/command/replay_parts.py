"""Scripts of one replay, shared out to worker processes; outcomes come in the order of the scripts."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from firmware.base.errors import UsageError
from hil.bench.coverage import Coverage
from hil.bench.outcome import Outcome
from hil.workers import workers_here

MOST_AT_ONCE = 12  # scripts that one worker plays on one target before it takes the next part


@dataclass(frozen=True)
class Part:
    """Some scripts of one game; each worker makes its own target for them."""

    scripts: tuple[Path, ...]
    game: str


@dataclass
class Played:
    """What a part gave: an outcome for each script, in order, and the coverage by game."""

    outcomes: list[Outcome]
    coverage: dict[str, Coverage] = field(default_factory=dict)


def number_of(workers: int, scripts: int) -> int:
    """How many processes pay; `workers` is 0 for one a core. Raises UsageError: it is negative."""
    if workers < 0:
        raise UsageError(f"--workers is 0 (one a core) or how many processes, not {workers}")
    return max(1, min(workers or workers_here(), scripts))


def check_one(target: str, workers: int) -> None:
    """Raises UsageError when several workers would need the one machine that there is."""
    if workers > 1:
        raise UsageError(f"'{target}' is one machine; --workers shares scripts at the desk or on micropython")


def split(scripts: Sequence[tuple[Path, str]], workers: int) -> list[Part]:
    """(script, game's folder) in parts of one game each, small enough that every worker has work."""
    size = max(1, min(MOST_AT_ONCE, -(-len(scripts) // (2 * workers))))
    parts: list[Part] = []
    for path, game in scripts:
        if parts and parts[-1].game == game and len(parts[-1].scripts) < size:
            parts[-1] = Part((*parts[-1].scripts, path), game)
        else:
            parts.append(Part((path,), game))
    return parts


def merge(into: dict[str, Coverage], more: dict[str, Coverage]) -> None:
    """Add the coverage of a part."""
    for game, found in more.items():
        if game not in into:
            into[game] = found
            continue
        into[game].rows |= found.rows
        into[game].states |= found.states
        into[game].answers |= found.answers
