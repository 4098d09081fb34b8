"""`inlane tune --aim … --by A,B`: several settings sought together; optuna proposes what is tried next."""

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from firmware.base.errors import UsageError
from hil.command.tuning_games import Plan, Player
from hil.game_tables import SettingRow
from hil.season import question_plots, search
from hil.season.answer import Answer, Block, Plot, Record, interval_text, limits, value_text
from hil.season.intervals import Interval
from hil.season.measures import Goal
from hil.season.search import Ranked, Settings, Try

SHOWN = 5  # the nearest tries, which are played again with other seeds
VALUES = 100  # a wide setting is tried at so many values
NO_OPTUNA = "a search over several settings needs optuna: pip install 'inlane[tune]'"
Far = Callable[[Settings], float]


class Again(NamedTuple):
    """One of the nearest tries, with its measures in other games."""

    ranked: Ranked
    seen: tuple[Interval, ...]


def answer(plan: Plan, rows: Sequence[SettingRow], goals: Sequence[Goal], tries: int, play: Player) -> Answer:
    """The settings that come nearest to the goals. Raises UsageError: there is no optuna."""
    found = search.ranked(goals, tried(plan, rows, goals, tries, play))
    again = [Again(one, _seen(plan.fresh(), one.tried.settings, goals, play)) for one in found[:SHOWN]]
    units = {row.name: row.unit for row in rows}
    wanted = " and ".join(goal.words() for goal in goals)
    return Answer(
        f"{plan.game}: {', '.join(units)} for {wanted}, skill {plan.skill}",
        tuple(_sentences(plan, goals, found, again)),
        (_block(plan, list(units), goals, again),),
        tuple(_record(goals, one) for one in again),
        tuple(_plot(found, pair, units) for pair in combinations(units, 2)),
    )


def tried(
    plan: Plan, rows: Sequence[SettingRow], goals: Sequence[Goal], tries: int, play: Player
) -> list[Try]:
    """Play the games with as many values of the settings, the same seeds each time; each value once."""
    known: dict[Settings, Try] = {}

    def far(settings: Settings) -> float:
        if settings not in known:
            played = play(plan.with_settings(dict(settings))).measured
            known[settings] = Try(settings, tuple(played.values(goal.measure.name) for goal in goals))
        return search.distance(goals, known[settings].means())

    usual = [dict(plan.settings).get(row.name, row.default) for row in rows]
    minimise(far, rows, usual, plan.seed, tries)
    return list(known.values())


def minimise(far: Far, rows: Sequence[SettingRow], usual: Sequence[int], seed: int, tries: int) -> None:
    """Call `far` so many times, with the usual values first, then with what may be nearer than all before.

    Raises UsageError: there is no optuna.
    """
    try:
        import optuna  # loaded only here: an optional package
    except ImportError:
        raise UsageError(NO_OPTUNA) from None
    optuna.logging.set_verbosity(optuna.logging.WARNING)
    spread = {row.name: _steps(row) for row in rows}
    space: dict[str, optuna.distributions.BaseDistribution] = {
        name: optuna.distributions.IntDistribution(values[0], values[-1], step=values.step)
        for name, values in spread.items()
    }
    sampler = optuna.samplers.TPESampler(seed=seed, n_startup_trials=max(10, tries // 4))
    study = optuna.create_study(sampler=sampler)
    study.enqueue_trial(
        {row.name: _nearest(spread[row.name], at) for row, at in zip(rows, usual, strict=True)}
    )
    for _ in range(tries):
        trial = study.ask(space)
        study.tell(trial, far(tuple((row.name, int(trial.params[row.name])) for row in rows)))


def _steps(row: SettingRow) -> range:
    step = max(1, (row.most - row.least) // VALUES)
    return range(row.least, row.most + 1, step)


def _nearest(values: range, wanted: int) -> int:
    return min(values, key=lambda value: abs(value - wanted))


def _seen(plan: Plan, settings: Settings, goals: Sequence[Goal], play: Player) -> tuple[Interval, ...]:
    measured = play(plan.with_settings(dict(settings))).measured
    return tuple(measured.interval(goal.measure) for goal in goals)


def _sentences(
    plan: Plan, goals: Sequence[Goal], found: Sequence[Ranked], again: Sequence[Again]
) -> Iterator[str]:
    best = again[0]
    gives = ", ".join(
        f"{goal.measure.name} {_cell(goal, seen)}" for goal, seen in zip(goals, best.seen, strict=True)
    )
    yield f"{_words(best.ranked.tried.settings)} gives {gives} in {plan.games:,} other games."
    if not all(seen.holds(goal.value) for goal, seen in zip(goals, best.seen, strict=True)):
        yield "What is wanted lies outside of these 95 % intervals: nothing that was tried reaches it."
    spans = (
        f"{name} {low:,} to {high:,}"
        for name, _ in best.ranked.tried.settings
        for low, high in [search.reach(found, name)]
    )
    yield f"With other games the nearest would have been in (95 %): {', '.join(spans)}."
    yield f"{len(found)} combinations were tried with {plan.games:,} games each, of the same seeds."


def _words(settings: Settings) -> str:
    return ", ".join(f"{name} {value:,}" for name, value in settings)


def _block(plan: Plan, names: list[str], goals: Sequence[Goal], again: Sequence[Again]) -> Block:
    measures = [f"{goal.measure.name}, {goal.measure.unit}" for goal in goals]
    rows = [
        (
            *(f"{value:,}" for _, value in one.ranked.tried.settings),
            *(_cell(goal, seen) for goal, seen in zip(goals, one.seen, strict=True)),
            f"{one.ranked.distance:.1%}",
            f"{one.ranked.nearest:.0%}",
        )
        for one in again
    ]
    title = f"The nearest, with what they give in {plan.games:,} other games"
    return Block(title, (*names, *measures, "distance", "nearest in"), rows)


def _cell(goal: Goal, seen: Interval) -> str:
    return f"{value_text(seen.value, goal.measure.unit)} ({interval_text(seen, goal.measure.unit)})"


def _record(goals: Sequence[Goal], one: Again) -> Record:
    plain: Record = dict(one.ranked.tried.settings)
    for goal, mean, seen in zip(goals, one.ranked.tried.means(), one.seen, strict=True):
        plain |= {goal.measure.name: mean}
        plain |= {f"{goal.measure.name} {name}": value for name, value in limits(seen).items()}
    return plain | {"distance": one.ranked.distance, "nearest": one.ranked.nearest}


def _plot(found: Sequence[Ranked], pair: tuple[str, str], units: dict[str, str]) -> Plot:
    across, up = pair
    points = [
        (float(values[across]), float(values[up]), one.distance)
        for one in found
        for values in [dict(one.tried.settings)]
    ]
    labels = [name if name == units[name] else f"{name}, {units[name]}" for name in pair]
    return Plot(
        f"{across} and {up}: how far each try is from what is wanted",
        lambda: question_plots.tries(points, labels[0], labels[1]),
    )
