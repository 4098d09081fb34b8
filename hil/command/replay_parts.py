"""Scripts of one replay, shared out to worker processes; outcomes come in the order of the scripts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from firmware.base.errors import UsageError
from hil.bench.coverage import Coverage
from hil.bench.outcome import Outcome
from hil.bench.scripts.script import Script
from hil.bench.targets.choose import IN_PROCESS
from hil.command.guarded_run import add_near_misses
from hil.command.script_bench import Bench, shown
from hil.games import Game, load
from hil.workers import map_in_order, workers_here

Job = tuple[Script, Game]

HERE = (*IN_PROCESS, "micropython")  # targets that drive no coil
MOST_AT_ONCE = 40  # scripts that one worker plays on one target before it takes the next part

FEW = {"desk": 100, "micropython": 16}  # up to so many scripts the start of worker processes does not pay


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


def alone(bench: Bench, jobs: list[Job]) -> Iterator[Outcome]:
    """Play the scripts in this process, one after another."""
    for played, game in jobs:
        outcome = bench.run(played, game)
        outcome.path = shown(played.path)
        add_near_misses(outcome, played, game, bench.vocabulary(game))
        yield outcome


def workers_for(asked: int, target: str, jobs: list[Job], logged: bool = False) -> int:
    """How many processes play the scripts; a few are played in this one unless more are asked for."""
    workers = number_of(asked, len(jobs))
    if target not in HERE:
        check_one(target, asked)
        return 1
    return 1 if logged or (not asked and len(jobs) <= FEW.get(target, 0)) else workers


def shared(bench: Bench, jobs: list[Job], workers: int) -> Iterator[Outcome]:
    """Play the scripts in worker processes; `bench` takes over their coverage."""
    parts = split([(played.path, str(game.folder)) for played, game in jobs], workers)
    play = partial(
        play_part, target=bench.target, records_guards=bench.records_guards, wires=tuple(bench.wires)
    )
    for done in map_in_order(play, parts, workers):
        merge(bench.coverage, done.coverage)
        yield from done.outcomes


def play_part(part: Part, target: str, records_guards: bool, wires: tuple[str, ...]) -> Played:
    """Play some scripts of one game on a target of this process's own. Raises ScriptError, GameError."""
    game = load(part.game)
    with Bench(target, records_guards=records_guards, wires=wires) as bench:
        jobs = [(bench.read(path, game), game) for path in part.scripts]
        return Played(list(alone(bench, jobs)), bench.coverage)
