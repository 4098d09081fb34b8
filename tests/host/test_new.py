"""`inlane new`: a small clean game of one's own, fit to play, with nothing of another game in it."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from firmware.base.errors import InlaneError, UsageError
from hil import games
from hil.bench.outcome import PASS
from hil.checks.board import report
from hil.checks.build import all_findings
from hil.command.check import board_findings
from hil.command.demands import BY_TABLES
from hil.command.new import make, make_like
from hil.command.replay import Bench, find_scripts

VARIANTS = {
    "as_usual": {"balls": 3},
    "one_bank": {"lanes": 0, "bumpers": 0, "bank": 3, "ramp": False, "orbits": False, "saucer": False},
    "drops_only": {"bank": 0, "drops": 4, "lanes": 0},
    "bank_and_drops": {"bank": 3, "drops": 4},
    "one_ball": {"in_machine": 1, "balls": 5},
    "five_balls": {"in_machine": 5, "lock": 3},
    "lanes_only": {"bank": 0, "lanes": 4, "standups": 2},
    "one_player": {"players": 1},
    "digits": {"players": 2, "displays": "digits"},
    "digits_for_one": {"players": 1, "displays": "digits", "bank": 0},
    "nothing_much": {
        "lanes": 0,
        "bank": 0,
        "bumpers": 0,
        "standups": 0,
        "spinner": False,
        "saucer": False,
        "ramp": False,
        "orbits": False,
    },
}
OTHERS = (
    "honey",
    "bee",
    "pollen",
    "nectar",
    "meadow",
    "kit_room",
    "kit room",
    "vice",
    "anvil",
    "firmware.games",
)


def codes(folder: Path) -> list[int]:
    """The verdicts of a game's scripts."""
    game = games.load(str(folder))
    with Bench("desk") as bench:
        return [bench.run(bench.read(path, game), game).code for path in find_scripts([str(game.scripts)])]


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", VARIANTS)
def test_a_new_game_is_clean_and_passes_its_scripts(tmp_path, name):
    folder = tmp_path / f"new_{name}"
    make(folder, VARIANTS[name])
    assert [str(finding) for finding in all_findings(str(folder), (), BY_TABLES)] == []
    verdicts = codes(folder)
    assert len(verdicts) >= 3
    assert set(verdicts) == {PASS}


def test_a_new_game_has_two_rules_and_nothing_of_another_game(tmp_path):
    folder = tmp_path / "quay"
    make(folder, {"balls": 4})
    rules = {path.name for path in (folder / "features").glob("*.py")} - {"__init__.py", "shots.py"}
    assert len(rules) == 2
    text = "\n".join(path.read_text(encoding="utf-8") for path in folder.rglob("*") if path.is_file())
    assert [word for word in OTHERS if re.search(rf"\b{word}", text.lower())] == []
    assert '("balls", 4, 1, 5' in text
    game = games.load(str(folder))
    assert (game.module.NAME, game.module.TITLE) == ("quay", b"QUAY")


def test_a_new_game_has_the_players_and_the_displays_that_were_wanted(tmp_path):
    make(tmp_path / "wherry", {"players": 2, "displays": "digits"})
    wiring = games.load(str(tmp_path / "wherry")).wiring
    shown = [(row[0], row[3]) for row in wiring.DISPLAYS]
    assert shown == [("player.1", "score"), ("player.2", "score"), ("count", "count")]
    assert wiring.PLAYERS == 2
    script = tmp_path / "two.play"
    script.write_text(
        "title a second player joins, a third does not\nstart 2 players\nlaunch\ntap standup\n"
        'expect display player.1 is "800"\ntap start\nexpect players is 2\n'
    )
    game = games.load(str(tmp_path / "wherry"))
    with Bench("desk") as bench:
        assert bench.run(bench.read(script, game), game).code == PASS


def test_questions_are_asked_again_after_an_answer_out_of_range(tmp_path):
    asked = "sys.stdin.isatty = lambda: True; from hil.command import main; main()"
    ran = subprocess.run(
        [sys.executable, "-c", f"import sys; {asked}", "new", str(tmp_path / "punt")],
        input="3\n3\n7\n2\nleds\ndigits\n" + "\n" * 10,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert ran.returncode == 0, ran.stderr
    assert "players takes 1 to 4, not 7" in ran.stdout
    assert "displays takes text or digits, not 'leds'" in ran.stdout
    assert [len(games.load(str(tmp_path / "punt")).wiring.DISPLAYS)] == [3]


@pytest.mark.slow
def test_a_new_game_fits_the_board(tmp_path):
    folder = tmp_path / "lighter"
    make(folder, VARIANTS["as_usual"])
    fit = report("pico_matrix", games.load(str(folder)))
    found = board_findings(str(folder), "pico_matrix", fit)
    assert [str(finding) for finding in found if finding.fatal] == []
    assert any(line.startswith("stack: ") for line in fit.lines)


def test_what_cannot_be_made_is_refused_and_nothing_changed(tmp_path):
    with pytest.raises(UsageError, match="Python name"):
        make(tmp_path / "my-game", {"balls": 3})
    with pytest.raises(UsageError, match="imported already"):
        make(tmp_path / "json", {"balls": 3})
    (tmp_path / "taken").mkdir()
    with pytest.raises(UsageError, match="already"):
        make(tmp_path / "taken", {"balls": 3})
    with pytest.raises(InlaneError, match="lanes takes 0 to 5, not 9"):
        make(tmp_path / "other", {"lanes": 9})
    with pytest.raises(InlaneError, match="players takes 1 to 4, not 5"):
        make(tmp_path / "other", {"players": 5})
    with pytest.raises(InlaneError, match="displays takes text or digits, not 'leds'"):
        make(tmp_path / "other", {"displays": "leds"})
    with pytest.raises(InlaneError, match="needs 4 balls or more"):
        make(tmp_path / "other", {"lock": 3})
    assert list(tmp_path.iterdir()) == [tmp_path / "taken"]


def test_the_scripts_of_a_copy_expect_its_own_title(tmp_path: Path) -> None:
    make_like(tmp_path / "apiary", "honey_flow")
    script = tmp_path / "apiary" / "scripts" / "operator_versions.play"
    assert 'expect line 2 is "APIARY"' in script.read_text()
    game = games.load(str(tmp_path / "apiary"))
    with Bench("desk") as bench:
        assert bench.run(bench.read(script, game), game).code == PASS
