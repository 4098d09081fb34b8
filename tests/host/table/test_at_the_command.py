"""The commands of the rolling ball: what they print, and what they refuse in one sentence."""

import subprocess
import sys

import pytest

FALLS_BACK = """
import sys
sys.modules["pymunk"] = None
from firmware.base.errors import ScriptError
from hil import games
from hil.command.at_desk import DeskSetup
from hil.command.play import LiveOptions, _machine
try:
    _machine(DeskSetup(games.load("kit_room")), LiveOptions(1, {})).nudge("left")
except ScriptError as error:
    print(error.text)
"""


def test_without_pymunk_the_desk_plays_whole_shots_and_says_so():
    ran = subprocess.run([sys.executable, "-c", FALLS_BACK], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "a nudge needs a ball that rolls; with --shots each key is a whole shot"
    assert ran.stderr.strip() == (
        "the ball does not roll without pymunk: pip install 'inlane[desk]'; each key is a whole shot"
    )


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            ("--shots", "--slope", "7"),
            "--slope and --watch are for a ball that rolls; with --shots none does",
        ),
        (("--shots", "--watch"), "--slope and --watch are for a ball that rolls; with --shots none does"),
        (("--script", "x.play", "--watch"), "--watch cannot go with --script"),
        (("--slope", "20"), "less than or equal to 15"),
    ],
)
def test_options_that_do_not_go_together_are_refused(inlane, words, sentence):
    code, _, err = inlane("play", "honey_flow", *words)
    assert code == 2
    assert sentence in err


def test_a_map_of_shots_needs_a_png(inlane):
    code, _, err = inlane("measure", "shots", "kit_room", "--picture", "map.jpg")
    assert (code, "a picture's name ends in .png, not 'map.jpg'" in err) == (2, True)


@pytest.mark.slow
def test_a_map_of_shots_is_printed_and_drawn(inlane, tmp_path):
    picture = tmp_path / "map.png"
    code, out, _ = inlane("measure", "shots", "kit_room", "--step", "40", "--picture", picture)
    assert code in (0, 1)
    assert "met first" in out
    assert "flights; never met: " in out
    assert picture.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("more", [(), ("--played",)])
def test_many_balls_are_counted(inlane, more):
    code, out, _ = inlane("measure", "balls", "kit_room", "--count", "2", "--minutes", "0.1", *more)
    assert code == 0
    assert "2 balls of 0.1 min: 0 left the table, 0 lay still too long" in out
