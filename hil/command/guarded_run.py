"""Runs a failed script again at the desk with its guards recorded: what its own target cannot say."""

from collections.abc import Sequence

from hil.bench.outcome import FAIL, Outcome
from hil.bench.scripts.script import Script
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.session import Session
from hil.bench.targets.desk import DeskTarget
from hil.games import Game
from simulator.plant import Plant


def add_near_misses(outcome: Outcome, played: Script, game: Game, vocabulary: Vocabulary) -> None:
    """Add what guards refused to the story of a failed run, and what else its target could not say.

    A board and a MicroPython process do not record guards. They are known when the desk makes the same trace:
    what the desk did, they did.
    """
    story = outcome.story
    if outcome.code != FAIL or outcome.real_time or story is None or story.near_misses is not None:
        return
    target = DeskTarget(game, records_guards=True)
    again = Session(played, target, vocabulary, game.wiring, _plant(game, vocabulary, played.seed)).run()
    if again.story is not None and _traces(again) == _traces(outcome):
        story.near_misses = again.story.near_misses
        if story.windows is None:
            story.windows, story.values = again.story.windows, again.story.values
            story.all_values = again.story.all_values


def _traces(outcome: Outcome) -> Sequence[object]:
    """What tells two runs apart: a machine that stopped by an error has no hash, but as many records."""
    return outcome.digest, outcome.records, outcome.scores, [problem.line for problem in outcome.problems]


def _plant(game: Game, vocabulary: Vocabulary, seed: int) -> Plant:
    names = vocabulary.names
    return Plant(game.tables("routes"), names.switches, names.coils, seed=seed)
