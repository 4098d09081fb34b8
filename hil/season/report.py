"""A season's figures as an answer: score, times, rewards, shares, shots, drains and funnels."""

from collections.abc import Sequence

from hil.season import plots
from hil.season.answer import Answer, Block, Plot, Record, interval_text, limits, value_text
from hil.season.figures import Line, Season
from hil.season.funnels import STAGES

TITLES = {
    "score": "Score of a player",
    "time": "Time",
    "reward": "Rewards",
    "share": "Share of all points by feature",
    "shot": "Points from a shot to the next, each attempt (the last one has the bonus)",
    "drain": "Balls that came home, by their last shot",
    "funnel": "Games that reach each stage of a feature",
}
MOST_WRONG = 5  # findings that are printed


def answer_of(season: Season) -> Answer:
    """Everything that is known of a season."""
    settings = "".join(f", {name} {value:,}" for name, value in season.settings.items())
    return Answer(
        f"{season.game}: {season.games:,} games, players of skill {season.skill}{settings}",
        tuple(_sentences(season)),
        tuple(block(title, season.of(name)) for name, title in TITLES.items() if season.of(name)),
        tuple(record(line) for line in season.lines),
        _plots(season),
        season.aggregate.findings,
    )


def block(title: str, lines: Sequence[Line]) -> Block:
    """A table of figures."""
    rows = [
        (
            line.name,
            value_text(line.interval.value, line.unit),
            interval_text(line.interval, line.unit),
            f"{line.cases:,}",
        )
        for line in lines
    ]
    return Block(title, ("", lines[0].unit, "95 % interval", "cases"), rows)


def record(line: Line) -> Record:
    """A figure for other programs."""
    named: Record = {"table": line.table, "name": line.name, "unit": line.unit, "cases": line.cases}
    return named | limits(line.interval)


def by_skill(seasons: Sequence[Season]) -> Answer:
    """The same game by players of several skills: times, scores, and the share of each feature."""
    features = list(dict.fromkeys(line.name for season in seasons for line in season.of("share")))
    skills = tuple(season.skill for season in seasons)
    blocks = tuple(
        Block(title, ("", *skills), [_row(name, seasons, table) for name in names])
        for title, table, names in (
            ("Score and time", "score", ["mean", "median", "ninetieth"]),
            ("Time", "time", ["a ball", "a game"]),
            ("Rewards", "reward", [line.name for line in seasons[0].of("reward")]),
            ("Share of all points by feature", "share", features),
        )
    )
    return Answer(
        f"{seasons[0].game}: {seasons[0].games:,} games by players of each skill",
        (),
        blocks,
        tuple({"skill": season.skill} | record(line) for season in seasons for line in season.lines),
        (Plot("Share of all points by feature, for each skill", lambda: plots.stacked(seasons, features)),),
        sum(season.aggregate.findings for season in seasons),
    )


def _row(name: str, seasons: Sequence[Season], table: str) -> tuple[str, ...]:
    found = [next((line for line in season.of(table) if line.name == name), None) for season in seasons]
    return (name, *(value_text(line.interval.value, line.unit) if line else "–" for line in found))


def _sentences(season: Season) -> list[str]:
    wrong = list(season.aggregate.wrong.items())
    return [
        f"Never paid: {', '.join(season.unpaid) or 'every award was paid'}.",
        f"Never seen: {', '.join(season.never) or 'every stage was seen'}.",
        f"Findings of the standing checks: {season.aggregate.findings}.",
        *(f"seed {seed}: {words}" for seed, words in wrong[:MOST_WRONG]),
    ]


def _plots(season: Season) -> tuple[Plot, ...]:
    spreads = season.aggregate.spreads
    return (
        Plot("Score of a player, on a scale of powers", lambda: plots.scores(spreads["score"])),
        Plot("Time of a ball, s", lambda: plots.times(spreads["ball_ms"])),
        Plot(TITLES["share"], lambda: plots.bars(season.of("share"), True)),
        Plot(TITLES["shot"], lambda: plots.bars(season.of("shot"), False)),
        Plot(TITLES["funnel"], lambda: plots.funnels(season.of("funnel"), STAGES)),
    )
