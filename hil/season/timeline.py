"""The course of one game: score over time, starts of balls, and the cues that it played."""

from collections.abc import Sequence

from hil.bench.game_result import GameResult
from hil.bench.view import TraceEvent
from hil.season import plots
from hil.season.answer import Plot
from hil.season.plots import Moment

STARTED = "ball.started"
MOST_NAMES = 24  # rows of the plot: the most frequent ones are left out first


def timeline(one: GameResult, history: Sequence[TraceEvent]) -> Plot:
    """The plot of a game that was played with records."""
    caption = f"One game: seed {one.seed}, {one.scores[0]:,} points in {one.ms / 1_000:.0f} s"
    course, moments = course_of(history)
    balls = [event.ms / 1_000 for event in history if event.kind == "event" and event.name == STARTED]
    return Plot(caption, lambda: plots.timeline(_rarest(moments), course, balls))


def course_of(history: Sequence[TraceEvent]) -> tuple[list[tuple[float, int]], list[Moment]]:
    """The sum of awards at each of them, and each cue with the score at it; seconds."""
    score = 0
    course, moments = [(0.0, 0)], []
    for event in history:
        if event.kind == "award":
            score += event.value
            course.append((event.ms / 1_000, score))
        elif event.kind == "cue":
            moments.append(Moment(event.ms / 1_000, score, event.name))
    return course, moments


def _rarest(moments: Sequence[Moment]) -> list[Moment]:
    """The moments of the MOST_NAMES rarest names."""
    count: dict[str, int] = {}
    for moment in moments:
        count[moment.words] = count.get(moment.words, 0) + 1
    kept = sorted(count, key=lambda name: count[name])[:MOST_NAMES]
    return [moment for moment in moments if moment.words in kept]
