"""Drawings: where things lie, what balls touch, and what does not fit, by line."""

from pathlib import Path

import pytest

from firmware.base.errors import GameError
from simulator.drawing.drawing import Drawing

NOTHING = '<g id="art"><path d="M0 0L10 10"/></g>'


def fatal(drawing):
    return [(remark.line, remark.text) for remark in drawing.remarks if remark.fatal]


def only(drawing, word):
    found = [remark for remark in drawing.remarks if word in remark.text]
    assert len(found) == 1, drawing.remarks
    return found[0]


# Where things lie


def test_millimetres_come_from_size_and_view_box(draw):
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="50cm" height="1000mm" viewBox="0 0 1000 2000">'
    drawing = draw('<g id="sensor"><line id="gong" x1="100" y1="190" x2="100" y2="210"/></g>', head)
    assert drawing.size == (500, 1000)
    assert drawing.points["gong"] == (50, 100)


def test_groups_and_elements_are_moved_turned_and_scaled(draw):
    turned = '<g transform="translate(100 0) rotate(90)"><circle id="gong" cx="10" cy="20" r="2"/></g>'
    drawing = draw(f'<g id="sensor" transform="scale(2)">{turned}</g>')
    assert drawing.points["gong"] == pytest.approx((160, 20))
    assert drawing.marks[0].size == pytest.approx(4, rel=0.02)


def test_a_ball_lies_in_front_of_a_target_on_the_side_of_the_flippers(draw):
    left, right = (f'<rect id="wall" x="{x}" y="500" width="6" height="30"/>' for x in (10, 484))
    assert draw(f'<g id="sensor">{left}</g>').points["wall"] == (29.5, 515)
    assert draw(f'<g id="sensor">{right}</g>').points["wall"] == (470.5, 515)


def test_a_ball_lies_outside_a_bumper(draw):
    drawing = draw('<g id="elastic"><circle id="post" cx="250" cy="200" r="30"/></g>')
    assert drawing.points["post"] == pytest.approx((250, 243.5))
    assert drawing.bumpers[0].coil == "post"


def test_a_sling_kicks_with_its_longest_side(draw):
    drawing = draw('<g id="elastic"><path id="kick.left" d="M100 700L140 800L100 780z"/></g>')
    sling = drawing.slings[0]
    assert (sling.upper, sling.lower) == ((100, 700), (140, 800))
    assert sling.out[0] > 0


def test_a_bat_swings_up_from_its_pivot(draw):
    drawing = draw('<g id="coil"><line id="bat" x1="150" y1="900" x2="210" y2="935" data-swing="60"/></g>')
    bat = drawing.bats[0]
    assert (bat.strong, bat.hold) == ("bat.strong", "bat.hold")
    assert bat.up[1] < bat.pivot[1] < bat.rest[1]
    x, y = drawing.points["bat"]
    assert 150 < x < 210
    assert y < 917


def test_a_place_of_its_own_is_where_the_ball_goes(draw):
    wall = '<g id="sensor"><rect id="wall" x="10" y="500" width="6" height="30"/></g>'
    drawing = draw(f'{wall}<g id="route"><circle id="wall-ball" cx="60" cy="515" r="3"/></g>')
    assert drawing.points["wall"] == (60, 515)


def test_a_slot_without_a_switch_lies_a_ball_behind_the_one_before(draw):
    drawing = draw('<g id="sensor"><circle id="pit" cx="250" cy="400" r="15"/></g>')
    assert drawing.points["pit.2"] == pytest.approx((250, 373))


def test_a_path_below_the_playfield_hides_its_ball(draw):
    route = '<path id="pit-to-gong" data-height="-30" d="M0 0L50 60L90 90"/>'
    path = draw(f'<g id="route">{route}</g>').paths["pit", "gong"]
    assert path.below
    assert path.points == ((50, 60),)


def test_an_insert_carries_the_words_that_lie_on_it(draw):
    circle = '<circle id="gong-lamp" cx="100" cy="100" r="12"/>'
    texts = '<text x="98" y="103">1</text><text x="100" y="140">GONG</text>'
    drawing = draw(f'<g id="light">{circle}{texts}</g>')
    assert [text.words for text in drawing.inserts[0].texts] == ["1"]
    assert [still.words for still in drawing.still] == ["GONG"]


def test_hidden_layers_and_what_editors_keep_for_themselves_are_left_out(draw):
    editors = '<x:namedview xmlns:x="http://an.editor"/><defs><g id="sensors"/></defs>'
    hidden = '<g id="sensor" style="display:none"><circle id="nothing" r="3"/></g>'
    assert [text for _, text in fatal(draw(editors + hidden)) if "routes" not in text] == []


def test_a_layer_counts_by_its_label(draw):
    space = 'xmlns:i="http://www.inkscape.org/namespaces/inkscape"'
    drawing = draw(f'<g {space} id="layer3" i:label="sensor"><circle id="gong" cx="9" cy="9" r="3"/></g>')
    assert drawing.points["gong"] == (9, 9)


def test_a_file_as_editors_write_it_is_read(machine):
    drawing = Drawing((Path(__file__).parent / "as_an_editor_writes.svg").read_bytes(), "made.svg", machine)
    assert [remark.text for remark in drawing.remarks if remark.fatal and "routes" not in remark.text] == []
    assert drawing.points["gong"] == pytest.approx((52, 100))
    insert = drawing.inserts[0]
    assert (insert.x, insert.y) == pytest.approx((100, 300))
    assert [(text.words, round(text.x), text.degrees) for text in insert.texts] == [("GO", 100, 0)]
    assert insert.parts[0].style.fill == (0x80, 0x20, 0x10)


def test_paint_is_inherited_and_style_wins(draw):
    shape = '<path fill="#fff" style="fill:rgb(1,2,3);stroke-width:4" d="M0 0h9v9z"/>'
    drawing = draw(f'<g id="art" stroke="red" opacity="0.5"><g opacity="0.5">{shape}</g></g>')
    style = drawing.still[0].style
    assert (style.fill, style.stroke, style.width, style.fill_alpha) == ((1, 2, 3), (255, 0, 0), 4, 0.25)


# What does not fit


@pytest.mark.parametrize(
    ("inside", "sentence"),
    [
        (
            '<g id="sensor">\n<circle id="gnog" cx="9" cy="9" r="3"/></g>',
            "no switch 'gnog'; did you mean 'gong'",
        ),
        (
            '<g id="light">\n<circle id="agian-lamp" cx="9" cy="9" r="3"/></g>',
            "no lamp 'agian'; did you mean 'again'",
        ),
        (
            '<g id="light">\n<circle id="again" cx="9" cy="9" r="3"/></g>',
            "a lamp's insert has the id NAME-lamp",
        ),
        (
            '<g id="coil">\n<line id="pit_ejcet-kick" x2="9"/></g>',
            "no coil 'pit_ejcet'; did you mean 'pit_eject'",
        ),
        ('<g id="coil">\n<line id="bta" x2="9"/></g>', "no flipper 'bta'; did you mean 'bat'"),
        (
            '<g id="elastic">\n<circle id="pots" cx="9" cy="9" r="3"/></g>',
            "no switch 'pots'; did you mean 'post'",
        ),
        (
            '<g id="route">\n<path id="gogn-to-bat" d="M0 0L9 9"/></g>',
            "no point of a route 'gogn'; did you mean 'gong'",
        ),
        ('<g id="route">\n<circle id="palce" cx="9" cy="9" r="3"/></g>', "no point of a route 'palce'"),
        ('<g id="sensor">\n<circle id="circle12" cx="9" cy="9" r="3"/></g>', "this has none"),
        ('<g id="sensor">\n<circle id="gong" cx="900" cy="9" r="3"/></g>', "off the playfield, at 900, 9 mm"),
        ('<g id="art">\n<path d="M0 0 K 9"/></g>', "path 'M0 0 K 9' cannot be read"),
        ('<g id="art">\n<path d="M0 0 Q 9"/></g>', "path 'M0 0 Q 9' cannot be read"),
        ('<g id="art">\n<path d=""/></g>', "path '' cannot be read"),
        ('<g id="art">\n<path fill="url(#sky)" d="M0 0L9 9"/></g>', "colour 'url(#sky)' cannot be read"),
        ('<g id="art">\n<rect width="wide" height="3"/></g>', "number 'wide' cannot be read"),
        ('<g id="art">\n<g transform="turn(3)"/></g>', "transform 'turn(3)' cannot be read"),
        ('<g id="art">\n<image href="x.png"/></g>', "<image> is not read"),
        ('<g id="art">\n<circle r="0"/></g>', "this <circle> has no extent"),
        ('\n<g id="sensr"/>', "no group 'sensr'; did you mean 'sensor'"),
        ('<g id="fixed">\n<circle id="gong" r="4"/></g>', "'gong' is in group 'fixed', where nothing has"),
        ('<g id="art">\n<circle id="again-lamp" r="4"/></g>', "'again-lamp' is in group 'art'"),
        ('\n<circle r="4"/>', "this <circle> lies in no group"),
        ('\n<g id="guide"/>', "a guide needs its height in mm"),
        (
            '<g id="art"><path id="a" d="M0 0L9 9"/>\n<path id="a" d="M0 0L9 9"/></g>',
            "twice, first in line 2",
        ),
        (
            '<g id="coil">\n<line id="bat" x2="9" data-swing="far"/></g>',
            "data-swing is 'far'; degrees are given",
        ),
    ],
)
def test_what_does_not_fit_is_told_with_its_line(draw, inside, sentence):
    remark = only(draw(inside), sentence)
    assert remark.fatal
    assert remark.line == 3


def test_everything_that_does_not_fit_is_told_at_once(draw):
    drawing = draw('<g id="sensor"><circle id="a" r="3"/></g>\n<g id="light"><circle id="b-lamp" r="3"/></g>')
    with pytest.raises(GameError) as caught:
        drawing.require_fit()
    told = str(caught.value)
    assert "made.svg:2: there is no switch 'a'" in told
    assert "made.svg:3: there is no lamp 'b'" in told


def test_what_has_no_place_is_named(draw):
    drawing = draw(NOTHING)
    notes = {remark.text for remark in drawing.remarks if not remark.fatal}
    assert "switch 'gong' has no place in the drawing" in notes
    assert "flipper 'bat' has no place in the drawing" in notes
    assert any(note.startswith("lamp 'again' has no place") for note in notes)
    assert not any("'start'" in note for note in notes)
    assert (1, "the ball's routes lead to 'wall', which has no place in the drawing") in fatal(drawing)


@pytest.mark.parametrize(
    "size", ['width="500mm"', 'width="500" height="9"', 'width="1mm" height="9mm" viewBox="0 0 1 9"']
)
def test_a_drawing_says_its_size_in_millimetres(draw, size):
    drawing = draw(NOTHING, f'<svg xmlns="http://www.w3.org/2000/svg" {size}>')
    assert only(drawing, "needs its size in millimetres").line == 1


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("<svg", "made.svg:1: this is no XML"),
        ("<html/>", "made.svg:1: a drawing's outermost element is <svg>"),
        ('<!DOCTYPE svg [\n<!ENTITY a "b">]><svg/>', "made.svg:2: entities are not read"),
    ],
)
def test_what_is_no_svg_is_refused(text, place):
    from simulator.drawing.markup import parse

    with pytest.raises(GameError, match=r"made\.svg") as caught:
        parse(text.encode(), "made.svg")
    assert str(caught.value).startswith(place)
