"""The questions of `inlane tune`: a season, one setting swept, another version, a setting sought."""

from collections.abc import Sequence

from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean
from hil import games
from hil.bench.names import of_console
from hil.command import season_odds
from hil.command.season_game import match_of, names_of, whole_settings
from hil.command.tuning_games import Plan, Played, Player
from hil.game_tables import SettingRow, setting_rows
from hil.games import Game
from hil.season import comparison, figures, funnels, question_plots, report, timeline
from hil.season.answer import Answer, Block, Plot, Record, interval_text, limits, value_text
from hil.season.comparison import Difference
from hil.season.figures import Line, Season
from hil.season.funnels import Funnel
from hil.season.intervals import Interval

MOST_VALUES = 9  # of a sweep that names no steps
SHARES = ("", "before", "95 % interval", "after", "95 % interval")
HEADINGS = ("", "before", "after", "difference", "95 % interval", "")


def season_of(played: Played) -> Season:
    """The figures of games that were played."""
    plan, total = played.plan, played.aggregate.total()
    game, names = games.load(plan.game), names_of(plan.game)
    rows = funnels_of(game)
    return Season(
        game.name,
        plan.skill,
        dict(plan.settings),
        total.games,
        played.aggregate,
        figures.lines_of(played.aggregate, rows),
        figures.unpaid(names, total),
        tuple(funnels.never(rows, total)),
    )


def funnels_of(game: Game) -> tuple[Funnel, ...]:
    """A game's funnels: its FUNNELS, or what follows from its charts. Raises GameError."""
    names = of_console(game.console())
    rows = getattr(season_odds.tables(game), funnels.TABLE, ())
    return funnels.given(rows, names) if rows else funnels.derived(names)


def season(plan: Plan, story: int | None, play: Player) -> Answer:
    """What a season is like; `story`: the seed of the game that has a timeline."""
    answer = report.answer_of(season_of(play(plan)))
    chosen = plan.seed if story is None else story
    return answer._replace(plots=(*answer.plots, story_of(plan, chosen)))


def story_of(plan: Plan, seed: int) -> Plot:
    """The timeline of one game, played with records."""
    match = match_of(plan.first_job()._replace(seed=seed))
    one = match.play(plan.players, whole_settings(games.load(plan.game), match.settings)["balls"])
    return timeline.timeline(one, match.view.history)


def sweep(plan: Plan, text: str, play: Player) -> Answer:
    """The same games with each value of a setting, each compared with its usual value."""
    row, values = swept(games.load(plan.game), text)
    usual = dict(plan.settings).get(row.name, row.default)
    base = play(plan.with_settings({row.name: usual}))
    found = []
    for value in values:
        played = base if value == usual else play(plan.with_settings({row.name: value}))
        found.append((value, played, comparison.compare(base.measured, played.measured)))
    return _sweep_answer(plan, row, usual, [(value, differences) for value, _, differences in found])


def _sweep_answer(
    plan: Plan, row: SettingRow, usual: int, found: list[tuple[int, tuple[Difference, ...]]]
) -> Answer:
    blocks, plotted = [], []
    for place, measure in enumerate(found[0][1]):
        rows = [(f"{value:,}", *_cells(differences[place])[1:]) for value, differences in found]
        title = f"{measure.measure}, {measure.unit} (against {row.name} {usual:,})"
        blocks.append(Block(title, (row.name, "value", "difference", "95 % interval", ""), rows))
        if any(differences[place].is_sure for _, differences in found):
            points = [(float(value), differences[place].difference) for value, differences in found]
            plotted.append(_line(points, row, usual, measure))
    records = [
        {"setting": row.name, "at": value} | _record(one)
        for value, differences in found
        for one in differences
    ]
    title = f"{plan.game}: {row.name} from {found[0][0]:,} to {found[-1][0]:,} ({row.meaning})"
    sentence = f"{plan.games:,} games a value, the same seeds for each, skill {plan.skill}."
    return Answer(title, (sentence,), tuple(blocks), tuple(records), tuple(plotted))


def _line(points: list[tuple[float, Interval]], row: SettingRow, usual: int, measure: Difference) -> Plot:
    unit, factor = ("%", 100.0) if measure.unit == "share" else (measure.unit, 1.0)
    scaled = [(at, Interval(*(limit * factor for limit in interval))) for at, interval in points]
    caption = f"{measure.measure}: difference from {row.name} {usual:,}, {unit}"
    across = f"{row.name}, {row.unit}"
    return Plot(caption, lambda: question_plots.line(scaled, across, unit, level=0))


def against(plan: Plan, other: str, play: Player) -> Answer:
    """Two versions of a game by the same players with the same seeds."""
    before = play(plan)
    after = play(plan._replace(game=other))
    differences = comparison.compare(before.measured, after.measured)
    lines = season_of(before).of("share"), season_of(after).of("share")
    spreads = before.aggregate.spreads["score"], after.aggregate.spreads["score"]
    names = _names(plan.game, other)
    return Answer(
        f"{names[0]} against {names[1]}: {plan.games:,} games each, skill {plan.skill}",
        (
            f"Before: {plan.game}; after: {other}.",
            "Each pair of games has the same seed: ball, player and draws of chance.",
        ),
        (
            Block("What changes", HEADINGS, [(_named(one), *_cells(one)) for one in differences]),
            Block("Share of all points by feature", SHARES, _shares(*lines)),
        ),
        tuple(_record(one) for one in differences),
        (
            Plot("What changes", lambda: question_plots.changes(_parts(differences))),
            Plot(
                "Share of all points by feature",
                lambda: question_plots.paired_bars(lines[0], lines[1], names),
            ),
            Plot(
                "Score of a player, on a scale of powers",
                lambda: question_plots.both_scores(*spreads, names),
            ),
        ),
    )


def _names(game: str, other: str) -> tuple[str, str]:
    """What the two versions are called: their games' names, or when those are the same the folders."""
    names = games.load(game).name, games.load(other).name
    return (game, other) if names[0] == names[1] else names


def _shares(before: list[Line], after: list[Line]) -> list[tuple[str, ...]]:
    sides = [{line.name: line.interval for line in lines} for lines in (before, after)]
    return [
        (name, *(cell for side in sides for cell in _share(side.get(name))))
        for name in dict.fromkeys((*sides[0], *sides[1]))
    ]


def _share(interval: Interval | None) -> tuple[str, str]:
    if interval is None:
        return "–", "–"
    return value_text(interval.value, "share"), interval_text(interval, "share")


def _parts(differences: Sequence[Difference]) -> list[tuple[str, Interval]]:
    """The differences in % of what was before, of those measures that had anything."""
    return [
        (one.measure, Interval(*(limit * 100 / one.before.value for limit in one.difference)))
        for one in differences
        if one.before.value
    ]


def _named(one: Difference) -> str:
    return one.measure if one.unit == "share" else f"{one.measure}, {one.unit}"


def setting(text: str) -> tuple[str, int]:
    """A setting as given. Raises UsageError."""
    name, equals, value = text.partition("=")
    if not equals or not value.removeprefix("-").isdigit():
        raise UsageError(f"--set takes NAME=VALUE with a whole number, not '{text}'")
    return name, int(value)


def swept(game: Game, text: str) -> tuple[SettingRow, list[int]]:
    """The setting and the values of --sweep NAME=LOW..HIGH/STEPS. Raises UsageError."""
    name, equals, values = text.partition("=")
    span, _, steps = values.partition("/")
    low, dots, high = span.partition("..")
    numbers = (low, high, steps or "1")
    if not (equals and dots and all(number.isdigit() for number in numbers)) or steps == "0":
        raise UsageError(f"--sweep takes NAME=LOW..HIGH or NAME=LOW..HIGH/STEPS, not '{text}'")
    row = row_of(game, name)
    if not row.least <= int(low) < int(high) <= row.most:
        raise UsageError(f"--sweep {text}: '{name}' takes {row.least:,} to {row.most:,}, the low end first")
    count = int(steps) if steps else min(MOST_VALUES - 1, int(high) - int(low))
    spread = int(high) - int(low)
    return row, sorted({int(low) + spread * n // count for n in range(count + 1)})


def sought(game: Game, text: str) -> list[SettingRow]:
    """The settings of --by NAME,NAME=LOW..HIGH, each within its limits. Raises UsageError."""
    rows = [_within(game, part.strip()) for part in text.split(",")]
    names = [row.name for row in rows]
    twice = next((name for name in names if names.count(name) > 1), "")
    if twice:
        raise UsageError(f"--by has '{twice}' twice")
    return rows


def _within(game: Game, text: str) -> SettingRow:
    name, equals, span = text.partition("=")
    row = row_of(game, name)
    if not equals:
        return row
    low, dots, high = span.partition("..")
    if not (dots and low.isdigit() and high.isdigit()):
        raise UsageError(f"--by takes NAME or NAME=LOW..HIGH, with commas between, not '{text}'")
    if not row.least <= int(low) < int(high) <= row.most:
        raise UsageError(f"--by {text}: '{name}' takes {row.least:,} to {row.most:,}, the low end first")
    return row._replace(least=int(low), most=int(high))


def row_of(game: Game, name: str) -> SettingRow:
    """A setting of a game. Raises UsageError with the near miss."""
    rows = {row.name: row for row in setting_rows(game.module)}
    if name not in rows:
        near = did_you_mean(name, list(rows)) or f"; there are {', '.join(rows)}"
        raise UsageError(f"there is no setting '{name}'{near}")
    return rows[name]


def _cells(one: Difference) -> tuple[str, ...]:
    return (
        value_text(one.before.value, one.unit),
        value_text(one.after.value, one.unit),
        value_text(one.difference.value, one.unit),
        interval_text(one.difference, one.unit),
        "sure" if one.is_sure else "",
    )


def _record(one: Difference) -> Record:
    plain: Record = {
        "measure": one.measure,
        "unit": one.unit,
        "before": one.before.value,
        "after": one.after.value,
    }
    return plain | {f"difference {name}": value for name, value in limits(one.difference).items()}
