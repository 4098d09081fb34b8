"""`inlane check` names what a drawing lacks as a table: gaps, and what no ball can meet."""

import shutil

import pytest

from hil import games
from hil.command import tabletop

KIT = games.load("kit_room").folder
WALL = "M14 1060V200C14 84 118 20 255 20S496 84 496 200V1060"


@pytest.fixture
def check(tmp_path):
    def of(*changes, drops=False):
        folder = shutil.copytree(KIT, tmp_path / "copied_room")
        drawing = folder / "host" / "playfield.svg"
        text = drawing.read_text()
        for before, after in changes:
            assert before in text
            text = text.replace(before, after)
        drawing.write_text(text)
        return [finding.text for finding in tabletop.findings(str(folder), drops)]

    return of


def test_a_drawing_that_lacks_nothing_has_no_notes(check):
    assert check(drops=True) == []


def test_a_gap_in_the_outer_wall_is_named_with_its_place(check):
    (note,) = check((WALL, "M14 1060V620M14 560V200C14 84 118 20 255 20S496 84 496 200V1060"))
    assert note.startswith("a ball gets off the playfield at ")
    assert note.endswith("there is a gap in the outer wall")


def test_a_target_behind_walls_is_named(check):
    fence = '<path d="M205 262H261V306H205z" stroke-width="3" stroke="#888"/>'
    assert check(('<g id="elastic"', f'<g id="fixed-2">{fence}</g><g id="elastic"')) == [
        "no ball gets to 'anvil'"
    ]


def test_a_shelf_on_which_balls_lie_is_named(check):
    shelf = '<path d="M180 560V540H290V560" fill="none" stroke-width="3" stroke="#888"/>'
    cup = '<path d="M180 520V540H290V520" fill="none" stroke-width="3" stroke="#888"/>'
    notes = check(('<g id="elastic"', f'<g id="fixed-2">{shelf}{cup}</g><g id="elastic"'), drops=True)
    assert notes
    assert all(note.startswith("a dropped ball lay still for 5 s at ") for note in notes)
