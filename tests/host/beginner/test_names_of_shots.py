"""A shot's three names, devices that were added, copied folders, and what the commands say of each."""

import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from firmware.base.errors import GameError, UsageError
from hil import likeness
from hil.authoring.errors import DescriptionError
from hil.bench.outcome import PASS
from hil.command import app


def inlane(*words: object) -> tuple[int, str]:
    """Exit code and output of a command; a refusal is raised."""
    done = CliRunner().invoke(app, [str(word) for word in words], standalone_mode=False)
    if done.exception is not None:
        raise done.exception
    return done.return_value or PASS, done.output


@pytest.fixture
def game(tmp_path, monkeypatch) -> Path:
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.chdir(tmp_path)
    inlane("new", tmp_path / "shore", "--bank", "3", "--saucer", "--spinner")
    return tmp_path / "shore"


def add_rule(game: Path, *words: str) -> tuple[int, str]:
    usual = ("--kind", "window", "--for", "15 s", "--pays", "20,000", "--to", str(game))
    return inlane("add", "rule", "Tidal Prize", *usual, *words)


@pytest.mark.parametrize(
    ("given", "known", "says"),
    [
        ("right_orbit", ("made.orbit.left", "made.orbit.right"), "; did you mean 'made.orbit.right'?"),
        ("top", ("top.1", "top.2"), "; did you mean 'top.1'?"),
        ("woken", ("otter.woken",), "; did you mean 'otter.woken'?"),
        ("standups", ("standup",), "; did you mean 'standup'?"),
        ("else", ("standup",), ""),
    ],
)
def test_a_near_miss_has_the_same_words_or_is_a_slip(given, known, says):
    assert likeness.near(given, known) == says


def test_each_shot_is_listed_with_the_event_that_a_chart_hears(game):
    lines = inlane("kit", "shots", "--game", game)[1].splitlines()
    heard = {line.split()[0]: line.split()[1] for line in lines if line.startswith("  ")}
    assert heard["left_orbit"] == "made.orbit.left"
    assert heard["saucer"] == "made.saucer"
    assert heard["bank_2"] == "bank.2"


@pytest.mark.parametrize("kind", ["shoot orbit.left", "tap bankk.1", "expect award collected not paid"])
def test_a_script_with_another_name_of_a_shot_gets_the_near_miss(game, kind):
    (game / "scripts/other.play").write_text(f"covers points\nstart 1 player\n{kind}\n", encoding="utf-8")
    (game / "features/points.py").write_text(
        (game / "features/points.py").read_text(encoding="utf-8").replace('"spinner"', '"collected"'),
        encoding="utf-8",
    )
    code, said = inlane("check", game, "--games", "0")
    assert "did you mean" in said, (code, said)


def test_a_subject_that_is_none_gets_all_that_are(game):
    (game / "scripts/other.play").write_text(
        "covers points\nstart 1 player\nexpect zebra is lit\n", encoding="utf-8"
    )
    said = inlane("check", game, "--games", "0")[1]
    assert "'zebra' is no subject; allowed: 'lamp', 'coil'" in said


@pytest.mark.parametrize("made_by", ["orbit.right", "made.orbit.right"])
def test_a_description_takes_a_shot_with_and_without_its_prefix(game, made_by):
    assert add_rule(game, "--lit-by", "standup,spinner", "--made-by", made_by)[0] == PASS
    text = (game / "features/tidal_prize.py").read_text(encoding="utf-8")
    assert '"standup spinner"' in text
    assert '"made.orbit.right"' in text
    assert (game / "scripts/tidal_prize_made.play").is_file()


def test_a_description_with_a_script_s_name_of_a_shot_gets_the_near_miss(game):
    with pytest.raises(DescriptionError, match=r"is no shot, .*did you mean 'orbit\.right'\?"):
        add_rule(game, "--lit-by", "standup", "--made-by", "right_orbit")
    assert not (game / "features/tidal_prize.py").exists()


def test_a_rule_by_hand_is_made_as_the_script_that_covers_it_shows(game):
    add_rule(game, "--lit-by", "standup", "--made-by", "spinner")
    for path in (game / "scripts").glob("tidal_prize_*.play"):
        path.rename(path.with_name(path.name.replace("prize_made", "shown").replace("prize_", "also_")))
    inlane("add", "rule", "After Tide", "--to", game, "--kind", "window", "--for", "15 s", "--pays", "9,000",
           "--lit-by", "standup", "--made-by", "tidal_prize")  # fmt: skip
    assert "tap spinner" in (game / "scripts/after_tide_made.play").read_text(encoding="utf-8")


@pytest.mark.parametrize("has_holes", [True, False])
def test_a_hole_that_is_added_counts_as_a_shot(game, tmp_path, has_holes):
    own = game
    if not has_holes:
        inlane("new", tmp_path / "bare", "--bank", "3", "--no-saucer")
        own = tmp_path / "bare"
    inlane("add", "saucer", "den", "--to", own)
    inlane("add", "saucer", "lair", "--to", own)
    assert '("on", "made.den", None, "pay_den", "unlit")' in (own / "features/den_points.py").read_text()
    assert inlane("check", own, "--games", "0") == (PASS, f"./{own.name}: fit to play\n") or inlane(
        "check", own, "--games", "0"
    )[1].startswith(f"{own}: fit to play\n")
    assert inlane("replay", own / "scripts")[0] == PASS


def test_a_column_behind_the_eighth_is_refused(game):
    with pytest.raises(UsageError, match="columns 1 to 8"):
        inlane("add", "saucer", "lair", "--at", "9,9", "--to", game)


def test_a_copied_folder_is_told_from_its_imports(game, tmp_path):
    copy = tmp_path / "shore_try"
    shutil.copytree(game, copy)
    said = inlane("check", copy, "--games", "0")[1].splitlines()
    assert len(said) == 2
    assert "the folder is called shore_try, its imports say shore; rename the folder" in said[0]
    with pytest.raises(GameError, match="its imports say shore"):
        inlane("card", copy)


def test_scripts_that_fail_are_noted_and_the_game_plays(game):
    path = game / "scripts/points_made.play"
    path.write_text(
        path.read_text(encoding="utf-8") + "expect award points.bumper paid 99\n", encoding="utf-8"
    )
    code, said = inlane("check", game, "--games", "1")
    assert code == PASS
    assert "scripts fails (points_made.play): inlane replay" in said


def test_a_script_at_the_desk_is_of_the_game_it_lies_in(game, tmp_path):
    pytest.importorskip("pygame")
    picture = tmp_path / "desk.png"
    script = game / "scripts/points_made.play"
    code, said = inlane("play", "--script", script, "--picture", picture)
    assert (code, picture.is_file()) == (PASS, True), said


def test_the_book_is_listed_and_each_page_printed():
    listed = inlane("book")[1]
    assert "1_first_game    Your first game" in listed
    assert inlane("book", "1")[1] == inlane("book", "first_game")[1]
    assert inlane("book", "questions")[1].startswith("# How do I")
    with pytest.raises(UsageError, match="did you mean '1_first_game'"):
        inlane("book", "firstgame")


def test_the_kit_says_what_a_rule_may_call_and_how_names_are_imported():
    said = inlane("kit", "feature")[1]
    for call in ("self.award(what", "self.play.stream()", "self.play.live", "AWARD.pay(", "CLOCK.start(ms)"):
        assert call in said
    assert ".post(" not in said
    assert "from firmware.play.claims import FAST, NONE, ON" in inlane("kit", "lamps")[1]
    assert "from firmware.play.memory import BALL" in inlane("kit", "spans")[1]


def test_a_lit_award_at_both_orbits_keeps_the_points_of_each_back(game):
    words = ("--kind", "multiball", "--started-by", "ramp", "--jackpot", "orbit", "--to", str(game))
    inlane("add", "rule", "Both Ways", *words)
    made = game / "scripts" / "both_ways_made.play"
    text = made.read_text(encoding="utf-8")
    paid = "expect award both_ways.jackpot paid 50,000\n"
    assert text.count(paid) == 1
    made.write_text(text.replace(paid, paid + "expect award points.orbit not paid\n"), encoding="utf-8")
    code, said = inlane("replay", made)
    assert code == PASS, said
