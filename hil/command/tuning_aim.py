"""`inlane tune --aim`: the value of a setting that gives what is wanted, with its uncertainty."""

from collections.abc import Callable

from firmware.base.errors import UsageError
from hil import games
from hil.command import tuning_questions, tuning_search
from hil.command.tuning_games import Plan, Player
from hil.game_tables import SettingRow, setting_rows
from hil.games import Game
from hil.season import intervals, plots, question_plots
from hil.season.answer import Answer, Block, Plot, interval_text, limits, value_text
from hil.season.intervals import Interval
from hil.season.measures import Goal, Measured, measure_of

REPLAYS, REPLAY = "replays", "replay_"  # the measure, and how the names of its settings begin
AND = " and "  # between two goals
STEP = 100  # a wide setting is found to one part in so many
ROUND = 10_000  # points: to which a replay score is rounded


def goal(text: str) -> Goal:
    """The goal in words: "replays 8 %", "ball 45". Raises UsageError."""
    name, _, number = text.replace("%", " %").strip().partition(" ")
    measure = measure_of(name)
    number, _, unit = number.strip().partition(" ")
    try:
        value = float(number) / (100 if unit.strip() == "%" else 1)
    except ValueError:
        raise UsageError(f"--aim takes a measure and a number, as \"replays 8 %\", not '{text}'") from None
    if unit.strip() not in ("", "%", measure.unit) or (unit.strip() == "%") != (measure.unit == "share"):
        wanted = "%" if measure.unit == "share" else measure.unit
        raise UsageError(f"--aim {text}: {measure.name} is in {wanted}")
    if value <= 0 or (measure.unit == "share" and value >= 1):
        raise UsageError(f"--aim {text}: {number} is out of range")
    return Goal(measure, value)


def answer(plan: Plan, text: str, by: str, tries: int, play: Player) -> Answer:
    """The answer to --aim. Raises UsageError: no such measure or setting, or out of reach."""
    game, goals = games.load(plan.game), [goal(part) for part in text.split(AND)]
    if len(goals) == 1 and goals[0].measure.name == REPLAYS and by in ("", f"{REPLAY}1"):
        return _replay_score(plan, game, goals[0], play)
    if not by:
        raise UsageError("--aim needs --by NAME, the setting that is sought")
    rows = tuning_questions.sought(game, by)
    if len(goals) == len(rows) == 1:
        return _sought(plan, rows[0], goals[0], play)
    return tuning_search.answer(plan, rows, goals, tries, play)


def _replay_score(plan: Plan, game: Game, wanted: Goal, play: Player) -> Answer:
    """The first replay's score: a quantile of scores without replays, tried on as many other games."""
    names = [row.name for row in setting_rows(game.module) if row.name.startswith(REPLAY)]
    if not names:
        raise UsageError(f"{game.name} has no setting {REPLAY}1; give --by NAME")
    played = play(plan.with_settings(dict.fromkeys(names, 0)))
    scores = sorted(played.measured.values("score"))
    found = intervals.quantile(scores, 1 - wanted.value)
    row = tuning_questions.row_of(game, names[0])
    score = min(row.most, max(ROUND, round(found.value / ROUND) * ROUND))
    tried = _tried(plan, names, score, play)
    seen = tried.interval(wanted.measure)
    spread = played.aggregate.spreads["score"]
    share = value_text(wanted.value, "share")
    sentences = (
        f"{names[0]} {score:,} is reached by {share} of {plan.games:,} players; the score lies between "
        f"{found.low:,.0f} and {found.high:,.0f} (95 %).",
        f"In {plan.games:,} other games {value_text(seen.value, 'share')} ({interval_text(seen, 'share')}) "
        "reach it.",
    )
    cells = (interval_text(found, "points"), value_text(seen.value, "share"), interval_text(seen, "share"))
    headings = ("", "points", "95 % interval", "reached in other games", "95 % interval")
    return Answer(
        f"{game.name}: the replay score for {share} replays, skill {plan.skill}",
        sentences,
        (Block("Found", headings, [(names[0], f"{score:,}", *cells)]),),
        ({"setting": names[0], "found": score} | limits(found), {"setting": "tried"} | limits(seen)),
        (
            Plot("Players who reach a score", lambda: question_plots.reached(spread, wanted.value, found)),
            Plot("Scores without replays", lambda: plots.scores(spread)),
        ),
    )


def _tried(plan: Plan, names: list[str], score: int, play: Player) -> Measured:
    """Other games with this first replay and no second one."""
    return play(plan.fresh().with_settings(dict.fromkeys(names, 0) | {names[0]: score})).measured


class Search:
    """Looks for the value of a setting at which a measure is as wanted; each value is played once."""

    def __init__(self, row: SettingRow, wanted: Goal, play: Callable[[int], Interval]) -> None:
        """`play`: the measure at a value."""
        self.row = row
        self.wanted = wanted
        self.known: dict[int, Interval] = {}
        self._play = play
        self.rises = self.at(row.most).value > self.at(row.least).value

    def at(self, value: int) -> Interval:
        """The measure at a value of the setting."""
        if value not in self.known:
            self.known[value] = self._play(value)
        return self.known[value]

    def require_reach(self) -> None:
        """Raises UsageError when the wanted value lies outside what the setting's ends give."""
        ends = sorted(self.at(value).value for value in (self.row.least, self.row.most))
        if not ends[0] <= self.wanted.value <= ends[1]:
            low, high = (value_text(end, self.wanted.measure.unit) for end in ends)
            given = f"'{self.row.name}' from {self.row.least:,} to {self.row.most:,}"
            raise UsageError(f"{given} gives {self.wanted.measure.name} of {low} to {high} only")

    def crossing(self, part: str) -> int:
        """Where the value, or a limit of its interval ("low", "high"), passes what is wanted."""
        low, high = self.row.least, self.row.most
        while high - low > max(1, low // STEP):
            middle = (low + high) // 2
            if (getattr(self.at(middle), part) < self.wanted.value) == self.rises:
                low = middle
            else:
                high = middle
        near = (low, high)
        return min(near, key=lambda value: abs(getattr(self.at(value), part) - self.wanted.value))


def _sought(plan: Plan, row: SettingRow, wanted: Goal, play: Player) -> Answer:
    def played(value: int) -> Interval:
        return play(plan.with_settings({row.name: value})).measured.interval(wanted.measure)

    search = Search(row, wanted, played)
    search.require_reach()
    found = search.crossing("value")
    ends = sorted((search.crossing("low"), search.crossing("high"), found))
    unit = wanted.measure.unit
    seen = search.at(found)
    rows = [
        (f"{value:,}", value_text(one.value, unit), interval_text(one, unit))
        for value, one in sorted(search.known.items())
    ]
    points = [(float(value), one) for value, one in sorted(search.known.items())]
    across, up = f"{row.name}, {row.unit}", f"{wanted.measure.name}, {unit}"

    def drawn() -> str:
        return question_plots.line(points, across, up, wanted.value)

    gives = f"{value_text(seen.value, unit)} ({interval_text(seen, unit)})"
    return Answer(
        f"{plan.game}: {row.name} for {wanted.words()}, skill {plan.skill}",
        (
            f"{row.name} {found:,} {row.unit} gives {gives}; "
            f"values from {ends[0]:,} to {ends[-1]:,} agree with what is wanted (95 %).",
        ),
        (Block("Values that were played", (row.name, unit, "95 % interval"), rows),),
        ({"setting": row.name, "found": found, "from": ends[0], "to": ends[-1]} | limits(seen),),
        (
            Plot(
                f"{up}; wanted: {wanted.words()}",
                drawn,
            ),
        ),
    )
