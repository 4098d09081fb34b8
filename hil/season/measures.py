"""One number of a game, that seasons are compared by."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean
from hil.bench.game_result import GameResult
from hil.season import intervals
from hil.season.answer import value_text
from hil.season.figures import REWARDS
from hil.season.intervals import Interval

Figure = Callable[[GameResult], float]


class Measure(NamedTuple):
    """What is measured, in what unit, and how."""

    name: str
    unit: str
    of: Figure


class Goal(NamedTuple):
    """What is wanted: a measure's mean."""

    measure: Measure
    value: float

    def words(self) -> str:
        """As it is shown."""
        unit = "" if self.measure.unit == "share" else f" {self.measure.unit}"
        return f"{self.measure.name} {value_text(self.value, self.measure.unit)}{unit}"


def _score(one: GameResult) -> float:
    return sum(one.scores) / max(1, one.players)


def _ball(one: GameResult) -> float:
    return sum(one.ball_ms) / max(1, len(one.ball_ms)) / 1_000


def _minutes(one: GameResult) -> float:
    return one.ms / 60_000 / max(1, one.players)


def _event(name: str) -> Figure:
    return lambda one: one.events.get(name, 0) / max(1, one.players)


def _with_event(name: str) -> Figure:
    return lambda one: float(name in one.events)


def _findings(one: GameResult) -> float:
    return float(bool(one.findings))


MEASURES = (
    Measure("score", "points", _score),
    Measure("ball", "s", _ball),
    Measure("game", "min", _minutes),
    Measure("replays", "share", _with_event(REWARDS["replays"])),
    Measure("extra_balls", "times", _event(REWARDS["extra balls"])),
    Measure("specials", "times", _event(REWARDS["specials"])),
    Measure("findings", "share", _findings),
)
NAMES = tuple(measure.name for measure in MEASURES)


def measure_of(name: str) -> Measure:
    """The measure of this name. Raises UsageError that names the known ones."""
    if name not in NAMES:
        near = did_you_mean(name, list(NAMES)) or f"; there are {', '.join(NAMES)}"
        raise UsageError(f"nothing is measured as '{name}'{near}")
    return MEASURES[NAMES.index(name)]


@dataclass
class Measured:
    """Every measure of every game, by seed."""

    by_seed: dict[int, tuple[float, ...]] = field(default_factory=dict)

    def add(self, one: GameResult) -> None:
        """Measure a game."""
        self.by_seed[one.seed] = tuple(measure.of(one) for measure in MEASURES)

    def values(self, name: str) -> list[float]:
        """One measure's values, by ascending seed."""
        place = NAMES.index(name)
        return [self.by_seed[seed][place] for seed in sorted(self.by_seed)]

    def interval(self, measure: Measure) -> Interval:
        """A measure's mean, with the interval of its kind."""
        values = self.values(measure.name)
        if measure.unit == "share":
            return intervals.share(round(sum(values)), len(values))
        return intervals.mean(values)

    def plain(self) -> list[tuple[float, ...]]:
        """As JSON: for each game its seed and its measures."""
        return [(seed, *figures) for seed, figures in self.by_seed.items()]


def measured_of(plain: Iterable[Sequence[float]]) -> Measured:
    """The measures that `Measured.plain` wrote."""
    return Measured({int(seed): tuple(figures) for seed, *figures in plain})
