"""A game's independent model of its rules judges random games, award by award."""

import ast
import dataclasses
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import pytest

import firmware
from hil import games
from hil.bench import debts
from hil.bench.judge import standing_checks
from hil.bench.rule_judge import judge_rules
from hil.bench.rule_lamps import LOOK_MS, LampJudge, WrongLamp
from hil.bench.rule_table import TOLERANCE_MS, RuleTable
from hil.bench.season import SimulatedGame
from hil.bench.view import TraceEvent
from hil.command import rule_games
from hil.command.season_game import MIXED, MODEL, Job, differences, match_of, play_one, whole_settings

GAMES = Path(firmware.__path__[0]) / "games"
MODELS = sorted(GAMES.glob("*/host/model*.py"))
OWN_CODE = ("features", "game", "service", "settings", "wiring")


def played(
    name: str,
    seed: int,
    kind: type[SimulatedGame] = SimulatedGame,
    settings: Mapping[str, int] = MappingProxyType({}),
) -> tuple[SimulatedGame, Job]:
    job = Job(name, MIXED, seed, 4, dict(settings), mixed=True, judge=MODEL)
    match = match_of(job, kind=kind)
    match.play(4, whole_settings(games.load(name), match.settings)["balls"])
    return match, job


class NearRollover(SimulatedGame):
    """A game in which a player is given 99,990,000 points with the first shot, beside every rule."""

    GIVEN = 99_990_000
    given = False

    def _shoot(self) -> None:
        if not self.given:
            self.given = True
            score = self.target._console.play.score
            score.awards[self.view.names.awards.index("end_bonus.paid")].pay(self.GIVEN)
        super()._shoot()


def imported(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    return names | {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}


@pytest.mark.parametrize("path", MODELS, ids=lambda path: f"{path.parts[-3]}.{path.stem}")
def test_model_imports_nothing_that_the_game_is_made_of(path):
    allowed = ("typing", "collections.abc", "firmware.play.interfaces")
    own = f"firmware.games.{path.parts[-3]}.host.model"
    assert [name for name in imported(path) if name not in allowed and not name.startswith(own)] == []


def test_both_games_have_a_model():
    assert {path.parts[-3] for path in MODELS} == {"honey_flow", "kit_room"}


@pytest.mark.parametrize("seed", range(100, 106))
def test_kit_room_pays_what_its_sheet_says(seed):
    match, job = played("kit_room", seed)
    assert differences(match, job) == []
    assert sum(event.kind == "award" for event in match.view.history) > 0


@pytest.fixture(scope="module")
def kit_room():
    return played("kit_room", 100)


def changed(match: SimulatedGame, job: Job, change) -> list[str]:
    """The awards in which a game whose history is changed differs."""
    game = games.load(job.game)
    history = change(list(match.view.history))
    return [
        one.feature for one in judge_rules(history, whole_settings(game, match.settings), game.host("model"))
    ]


def first_award(history: list[TraceEvent], name: str) -> int:
    return next(at for at, event in enumerate(history) if event.kind == "award" and event.name == name)


@pytest.mark.parametrize("award", ["plunge.landed", "chain.shot", "rush.collected", "wages.paid"])
def test_wrong_points_missing_and_doubled_awards_are_differences(kit_room, award):
    def more(history):
        at = first_award(history, award)
        history[at] = history[at]._replace(value=history[at].value + 2_000)
        return history

    def missing(history):
        del history[first_award(history, award)]
        return history

    def twice(history):
        at = first_award(history, award)
        return history[: at + 1] + history[at:]

    for change in (more, missing, twice):
        assert award in changed(*kit_room, change)


def test_ball_of_the_wrong_player_is_a_difference(kit_room):
    def another(history):
        at = next(
            at for at, event in enumerate(history) if event.name == "ball.started" and event.value % 16 == 2
        )
        history[at] = history[at]._replace(value=history[at].value + 1)
        return history

    assert "turn" in changed(*kit_room, another)


def window_of(ms: int):
    table = RuleTable({})
    window = table.window("x.expired")
    window.start(ms)
    return table, window


@pytest.mark.parametrize("at", [1_000 - TOLERANCE_MS, 1_000, 1_000 + TOLERANCE_MS])
def test_window_ends_where_the_run_shows_it_within_the_tolerance(at):
    table, window = window_of(1_000)
    table.advance(at)
    assert window.active
    table.event("x.expired")
    assert not window.active
    assert table.objections == []


def test_window_that_ends_before_or_after_is_an_objection():
    table, window = window_of(1_000)
    table.advance(1_000 - TOLERANCE_MS - 1)
    table.event("x.expired")
    assert [seen for _, _, seen in table.objections] == ["over"]
    table, window = window_of(1_000)
    table.advance(1_000 + TOLERANCE_MS + 1)
    assert not window.active
    assert [seen for _, _, seen in table.objections] == ["it goes on"]


def test_window_stands_still_while_no_ball_is_free():
    table, window = window_of(1_000)
    table.free = 0
    table.advance(5_000)
    assert window.active
    assert window.left == 1_000


def test_ball_that_the_lane_sees_before_it_has_left_the_trough_is_one_ball():
    table = RuleTable({})
    for switch in ("trough.1", "trough.2", "trough.3"):
        table.contact(switch, True)
    assert table.free == 0
    table.pulse("trough_eject")
    table.contact("lane", True)
    table.advance(50)
    table.contact("trough.3", False)
    assert table.free == 0
    table.contact("lane", False)
    assert table.free == 1


def test_more_balls_than_the_setting_says_are_a_difference():
    table = RuleTable({"balls": 3})
    table.judge_turn((1, 4), (1, 4))
    assert table.objections == [("turn", "game over", "player 1 ball 4")]


def test_difference_is_shrunk_to_a_script_that_shows_it(tmp_path, monkeypatch):
    model = games.load("kit_room").host("model")
    monkeypatch.setattr(model, "LAND_POINTS", (3_010, 7_010, 12_010))
    job = Job("kit_room", MIXED, 100, 1, {}, mixed=True, judge=MODEL)
    assert play_one(job).findings
    path = tmp_path / "short.play"
    said = rule_games.write_shrunk(job, path)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert 5 < len(lines) < 60, said


@pytest.mark.parametrize("seed", [101, 103, 108])
def test_honey_flow_pays_what_its_sheet_says(seed):
    match, job = played("honey_flow", seed)
    assert differences(match, job) == []
    assert sum(event.kind == "award" for event in match.view.history) > 50


HONEY_FLOW_AWARDS = ["small.bumper", "small.spinner", "small.inlane", "small.standup", "end_bonus.paid"]


@pytest.mark.parametrize("award", HONEY_FLOW_AWARDS)
def test_missing_award_of_honey_flow_is_a_difference(award):
    match, job = played("honey_flow", 101)

    def missing(history):
        del history[first_award(history, award)]
        return history

    assert award in changed(match, job, missing)


@pytest.mark.parametrize("seed", [101, 103])
def test_a_score_that_rolls_over_is_shown_and_lit_as_the_sheet_says(seed):
    settings = {"replay_1": 0, "replay_2": 0}
    match, job = played("honey_flow", seed, NearRollover, settings)
    assert max(match.view.scores.values()) > 99_999_990
    assert [(one.feature, one.expected) for one in differences(match, job)] == [("end_bonus.paid", "nothing")]
    assert [finding.seen for finding in standing_checks(match.evidence)] == []


def test_a_rollover_that_is_not_lit_is_a_difference():
    match, job = played("honey_flow", 101, NearRollover, {"replay_1": 0, "replay_2": 0})

    def dark(history):
        return [event for event in history if (event.kind, event.name) != ("lamp", "rollover")]

    assert changed(match, job, dark) == ["end_bonus.paid", "lamp rollover"]


def test_replay_that_is_not_given_is_a_debt():
    match, _ = played("honey_flow", 101)
    assert debts.replays_given(match.evidence) == []
    least = max(match.view.scores.values())
    owing = dataclasses.replace(match.evidence, settings={"replay_1": least})
    assert [finding.seen for finding in debts.replays_given(owing)] == ["0 given"]


@pytest.mark.parametrize(("times", "said"), [(0, "0 times"), (2, "2 times")])
def test_bonus_that_is_not_counted_once_is_a_finding(times, said):
    match, _ = played("kit_room", 100)
    assert debts.bonus_counted(match.evidence) == []
    history = match.view.history
    at = next(at for at, event in enumerate(history) if event.name == "bonus.counted")
    history[at : at + 1] = history[at : at + 1] * times
    assert [finding.seen for finding in debts.bonus_counted(match.evidence)] == [said]


@pytest.mark.slow
def test_two_hundred_games_of_the_kit_room_pay_what_its_sheet_says():
    jobs = [Job("kit_room", MIXED, seed, 4, {}, mixed=True, judge=MODEL) for seed in range(1, 201)]
    assert [job.seed for job in jobs if play_one(job).findings] == []


def test_wrong_lamp_is_a_difference():
    match, job = played("honey_flow", 101)

    def dark(history):
        return [event for event in history if (event.kind, event.name) != ("lamp", "spinner")]

    assert "lamp spinner" in changed(match, job, dark)


def test_lamp_is_wrong_when_two_looks_see_it_so_and_named_once():
    lamps = LampJudge()
    lamps.record("a", 2)
    assert lamps.look(LOOK_MS, {"a": False, "b": None}) == []
    assert lamps.look(2 * LOOK_MS, {"a": False, "b": None}) == [WrongLamp("a", True)]
    assert lamps.look(3 * LOOK_MS, {"a": False}) == []
    assert lamps.is_due(4 * LOOK_MS)
    assert not lamps.is_due(4 * LOOK_MS - 1)


@pytest.mark.parametrize("name", ["cue special", "cue warning", "event replay.reached"])
def test_record_that_comes_twice_is_a_difference(name):
    match, job, at = first_game_with(*name.split())

    def twice(history):
        return history[: at + 1] + history[at:]

    assert name in changed(match, job, twice)


def first_game_with(kind: str, name: str) -> tuple[SimulatedGame, Job, int]:
    for seed in range(1, 60):
        match, job = played("honey_flow", seed)
        for at, event in enumerate(match.view.history):
            if (event.kind, event.name) == (kind, name):
                return match, job, at
    raise AssertionError(f"no game has {kind} {name}")


def test_window_that_ends_too_early_is_a_difference():
    match, job, at = first_game_with("event", "pollen_run.expired")

    def early(history):
        late = history.pop(at)
        opened = max(n for n in range(at) if history[n][1:] == ("lamp", "pollen", 2))
        return [*history[: opened + 1], late._replace(ms=history[opened].ms), *history[opened + 1 :]]

    assert "pollen_run.expired" in changed(match, job, early)


@pytest.mark.parametrize(
    ("kind", "name", "feature"),
    [
        ("event", "shown.wheel", "wheel"),
        ("coil", "knocker", "knocker"),
        ("event", "game.slammed", "event game.slammed"),
        ("event", "player.added", "event player.added"),
        ("event", "pollen_run.expired", "pollen_run.expired"),
    ],
)
def test_records_that_are_missing_are_a_difference(kind, name, feature):
    match, job, _ = first_game_with(kind, name)

    def missing(history):
        return [event for event in history if (event.kind, event.name) != (kind, name)]

    assert feature in changed(match, job, missing)


@pytest.mark.parametrize(
    ("kind", "name", "feature", "by_ms"),
    [
        ("event", "ball.ended", "ball.ended", 300),
        ("cue", "swarm_over", "swarm", 1_500),
        ("award", "queens_cell.stop_2", "queens_cell.stop_2", 1_000),
    ],
)
def test_record_that_comes_too_early_is_a_difference(kind, name, feature, by_ms):
    match, job, at = first_game_with(kind, name)

    def early(history):
        record = history.pop(at)
        before = max(n for n in range(at) if history[n].ms <= record.ms - by_ms)
        return [*history[: before + 1], record._replace(ms=history[before].ms), *history[before + 1 :]]

    assert feature in changed(match, job, early)


@pytest.mark.parametrize(
    ("switch", "coil", "feature"),
    [("queen_cell", "keeper_reset", "keeper"), ("hive.1", "trough_eject", "")],
)
def test_keeper_that_is_raised_on_a_ball_is_a_difference(switch, coil, feature):
    match, job, at = first_game_with("edge", switch)

    def raised(history):
        pulse = history[at]._replace(kind="coil", name=coil, value=80)
        return [*history[: at + 1], pulse, *history[at + 1 :]]

    assert (feature in changed(match, job, raised)) == bool(feature)


def test_gold_cell_that_moves_within_a_game_is_a_difference():
    match, job = played("honey_flow", 101)
    blinks = [
        one
        for one in match.view.history
        if one[1] == "lamp" and one.name.startswith("times.") and one.value > 1
    ]
    other = f"times.{int(blinks[0].name[-1]) % 3 + 4}"

    def moved(history):
        return [*history, blinks[-1]._replace(ms=history[-1].ms, name=other)]

    assert changed(match, job, moved) == ["gold cell"]


def test_ball_that_is_given_back_without_a_save_is_a_difference():
    match, job, at = first_game_with("event", "ball_save.given")

    def lost(history):
        history[at] = history[at]._replace(name="ball.lost", value=0)
        return history

    assert "ball_save" in changed(match, job, lost)


def test_credit_that_is_not_counted_is_a_difference():
    match, job, at = first_game_with("save", "credits.credits")

    def one_more(history):
        history[at] = history[at]._replace(value=history[at].value + 1)
        return history

    assert "credits" in changed(match, job, one_more)


def test_extra_ball_that_is_not_played_or_played_twice_is_a_finding():
    match, _, won = first_game_with("event", "extra_ball.awarded")
    assert debts.extra_balls_played(match.evidence) == []
    history = match.view.history
    history.insert(won, history[won])
    assert [one.expected for one in debts.extra_balls_played(match.evidence)] == ["1 extra balls played"]
    del history[won : won + 2]
    assert [one.seen for one in debts.extra_balls_played(match.evidence)] == ["the same ball again"]


def test_special_that_is_given_twice_or_not_at_all_is_a_finding():
    match, _, at = first_game_with("award", "special.points")
    assert debts.specials_given(match.evidence) == []
    history = match.view.history
    special = history.pop(at)
    assert [one.seen for one in debts.specials_given(match.evidence)] == ["0 given"]
    history[at:at] = [special, special]
    assert [one.seen for one in debts.specials_given(match.evidence)] == ["2 given"]


def test_best_score_that_is_not_saved_is_a_finding():
    match, _, _ = first_game_with("save", "high_scores.score_3")
    assert debts.best_scores_saved(match.evidence) == []
    history = match.view.history
    best = max(match.view.scores.values())
    history[:] = [event for event in history if not (event.kind == "save" and event.value == best)]
    assert [one.seen for one in debts.best_scores_saved(match.evidence)] == ["not saved"]


@pytest.mark.slow
def test_two_hundred_games_of_honey_flow_pay_what_its_sheet_says():
    jobs = [Job("honey_flow", MIXED, seed, 4, {}, mixed=True, judge=MODEL) for seed in range(1, 201)]
    assert [job.seed for job in jobs if play_one(job).findings] == []
