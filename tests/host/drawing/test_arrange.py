"""Arranging a drawing: mouse and keys change the file's text, and nothing else of it."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"

import pygame
import pytest

from firmware.base.errors import GameError
from hil import games
from hil.command import drawn
from simulator.desk.arrange import GRID, SIZE, Arranger
from simulator.drawing.edit import Edits

SVG = """<?xml version="1.0" encoding="UTF-8"?>
<!-- drawn by hand: über alles -->
<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="1000mm" viewBox="0 0 500 1000">
  <g id="sensor" transform="scale(2)" stroke='gray'>
    <line id="gong" x1="50" y1="45" x2="50" y2='55' data-note="a > b"/>
    <g id="pit"><circle cx="100" cy="200" r="8"/></g>
    <rect id="wall" x="10" y="250" width="4" height="13" transform="rotate(0)"/>
  </g>
  <g id="light"><circle id="gong-lamp" cx="100" cy="300" r="12"/>
    <text x="96" y="304">1</text></g>
  <g id="coil"><line id="bat" x1="150" y1="900" x2="210" y2="935"/></g>
</svg>
"""


@pytest.fixture
def arranger(machine):
    pygame.display.init()  # key names are known only then
    saved = []
    made = Arranger(Edits(SVG.encode(), "made.svg", machine), saved.append)
    made.saved = saved
    return made


def mouse(arranger, kind, at):
    return pygame.event.Event(kind, pos=arranger.pixel(*at), button=1)


def drag(arranger, start, end):
    down, move, up = pygame.MOUSEBUTTONDOWN, pygame.MOUSEMOTION, pygame.MOUSEBUTTONUP
    arranger.step([mouse(arranger, down, start), mouse(arranger, move, end), mouse(arranger, up, end)])


def press(arranger, name, mod=0):
    return arranger.step([pygame.event.Event(pygame.KEYDOWN, key=pygame.key.key_code(name), mod=mod)])


def middle(arranger, name):
    return arranger.item(name).box().middle


def changed_lines(arranger):
    old, new = SVG.splitlines(), arranger.edits.data.decode().splitlines()
    assert len(old) == len(new)
    return [(number, line) for number, line in enumerate(new, 1) if line != old[number - 1]]


def test_a_dragged_thing_lies_on_the_grid_and_only_its_numbers_change(arranger):
    drag(arranger, (100, 100), (141, 164))
    assert middle(arranger, "gong") == pytest.approx((140, 165))
    new = '    <line id="gong" x1="70" y1="77.5" x2="70" y2="87.5" data-note="a > b"/>'
    assert changed_lines(arranger) == [(5, new)]


def test_without_the_grid_a_thing_lies_where_it_was_dropped(arranger):
    press(arranger, "g")
    drag(arranger, (100, 100), (142, 163))
    assert middle(arranger, "gong") == pytest.approx((142, 163), abs=2)
    assert middle(arranger, "gong") != pytest.approx((140, 165), abs=0.1)


def test_a_click_moves_nothing(arranger):
    drag(arranger, (200, 400), (200, 400))
    assert arranger.chosen == "pit"
    assert changed_lines(arranger) == []


def test_groups_and_turned_shapes_are_moved_by_their_transform(arranger):
    drag(arranger, (200, 400), (250, 450))
    drag(arranger, (24, 513), (64, 513))
    assert middle(arranger, "pit") == pytest.approx((250, 450))
    assert '<g transform="translate(25 25)" id="pit">' in arranger.edits.data.decode()
    assert middle(arranger, "wall") == pytest.approx((65, 515))
    drag(arranger, (250, 450), (300, 450))
    assert '<g transform="translate(50 25)" id="pit">' in arranger.edits.data.decode()


def test_the_words_on_an_insert_move_with_it(arranger):
    drag(arranger, (100, 300), (200, 300))
    insert = arranger.edits.drawing.inserts[0]
    assert (insert.x, insert.y) == pytest.approx((200, 300))
    assert insert.texts[0].x == 196
    assert [number for number, _ in changed_lines(arranger)] == [9, 10]


def test_a_key_turns_and_shift_turns_back(arranger):
    arranger.chosen = "bat"
    press(arranger, "r")
    pivot = arranger.edits.drawing.bats[0].pivot
    assert pivot != (150, 900)
    press(arranger, "r", pygame.KMOD_SHIFT)
    assert arranger.edits.drawing.bats[0].pivot == pytest.approx((150, 900), abs=0.02)
    arranger.chosen = "wall"
    press(arranger, "r")
    box = arranger.item("wall").box()
    assert box.width > 12
    assert box.middle == pytest.approx((24, 513), abs=0.01)


def test_arrow_keys_move_by_a_millimetre(arranger):
    arranger.chosen = "gong-lamp"
    press(arranger, "left")
    press(arranger, "down")
    assert middle(arranger, "gong-lamp") == pytest.approx((99, 301))


def test_undo_takes_back_one_change_after_the_other(arranger):
    arranger.chosen = "gong"
    press(arranger, "right")
    press(arranger, "right")
    press(arranger, "z")
    assert middle(arranger, "gong") == pytest.approx((101, 100))
    press(arranger, "z")
    assert changed_lines(arranger) == []
    press(arranger, "z")
    assert "nothing to undo" in arranger.message


def test_saving_writes_the_file_and_leaving_asks_once(arranger):
    arranger.chosen = "gong"
    press(arranger, "right")
    assert press(arranger, "escape")
    assert "not saved" in arranger.message
    press(arranger, "s")
    assert arranger.saved == [arranger.edits.data]
    assert not press(arranger, "escape")


def test_leaving_twice_leaves_without_saving(arranger):
    arranger.chosen = "gong"
    press(arranger, "right")
    press(arranger, "escape")
    assert not press(arranger, "escape")
    assert arranger.saved == []


def test_a_thing_that_is_dragged_is_seen_where_it_would_lie(arranger):
    surface = pygame.Surface(SIZE)
    arranger.draw(surface)
    before = pygame.image.tobytes(surface, "RGB")
    at = (100, 100)
    events = [mouse(arranger, pygame.MOUSEBUTTONDOWN, at), mouse(arranger, pygame.MOUSEMOTION, (180, 200))]
    arranger.step(events)
    arranger.draw(surface)
    assert pygame.image.tobytes(surface, "RGB") != before
    x, y = arranger.pixel(180, 200)
    assert surface.get_at((x, y))[:3] == (255, 196, 84)


def test_what_is_not_utf_8_is_not_changed(machine):
    with pytest.raises(GameError, match=r"made\.svg.*only a drawing in UTF-8"):
        Edits(b'<?xml version="1.0" encoding="latin-1"?><svg/><!--\xe9-->', "made.svg", machine)


def test_a_game_without_a_drawing_is_arranged_saved_and_drawn_so(tmp_path):
    import shutil

    folder = tmp_path / "cabin"
    shutil.copytree(games.load("kit_room").folder, folder)
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", "cabin"))
    (folder / "host" / "playfield.svg").unlink()
    game = games.load(str(folder))
    edits = Edits(drawn.read(game), "laid out", drawn.machine(game))
    arranger = Arranger(edits, lambda data: drawn.save(game, data))
    drag(arranger, middle(arranger, "vice"), (100, 300))
    press(arranger, "s")
    assert arranger.message == "saved"
    found = drawn.drawing(game)
    assert found.file.endswith("playfield.svg")
    mark = next(mark for mark in found.marks if mark.switch == "vice")
    assert (mark.x, mark.y) == pytest.approx((100, 300))
    assert mark.x % GRID == 0
    assert found.remarks == []


def test_the_window_plays_posted_events_until_it_is_left(arranger):
    from simulator.desk import window

    surface = pygame.display.set_mode(SIZE)
    start, end = arranger.pixel(100, 100), arranger.pixel(200, 200)
    for event in (
        pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=start, button=1),
        pygame.event.Event(pygame.MOUSEMOTION, pos=end, rel=(0, 0), buttons=(1, 0, 0)),
        pygame.event.Event(pygame.MOUSEBUTTONUP, pos=end, button=1),
        pygame.event.Event(pygame.KEYDOWN, key=pygame.K_s, mod=0),
        pygame.event.Event(pygame.KEYDOWN, key=pygame.K_ESCAPE, mod=0),
    ):
        pygame.event.post(event)
    window.arrange(arranger, surface)
    assert middle(arranger, "gong") == pytest.approx((200, 200))
    assert arranger.saved == [arranger.edits.data]
