"""The desk's tables: Honey Flow's are whole, wrong ones are refused in one sentence."""

import types

import pytest

from firmware.base.errors import GameError
from firmware.games.honey_flow import wiring
from firmware.games.honey_flow.host import layout
from hil import games
from simulator.desk.background import draw_background
from simulator.desk.keymap import KeyMap
from simulator.desk.layout import Layout

GAME = games.load("honey_flow")
routes, keys = GAME.tables("routes"), GAME.tables("keys")
SWITCHES = [row[0] for row in wiring.SWITCHES]
SHOTS = [row[0] for row in routes.SHOTS]


def the_layout(module=layout):
    return Layout(module, SWITCHES, [row[:2] for row in wiring.LAMPS], [row[0] for row in wiring.COILS])


def the_keys(module=keys):
    return KeyMap(module, SWITCHES, SHOTS)


def _changed(module, **tables):
    made = types.ModuleType("made_up")
    made.__dict__.update({name: getattr(module, name) for name in dir(module) if name.isupper()})
    made.__dict__.update(tables)
    return made


@pytest.mark.parametrize(
    ("tables", "sentence"),
    [
        (
            {"INSERTS": (("agian", "round", 1, 1, 9, 0, "", 0, 0),)},
            "'agian', which is not there; did you mean 'again'",
        ),
        ({"INSERTS": (("again", "hexagn", 1, 1, 9, 0, "", 0, 0),)}, "did you mean 'hexagon'"),
        ({"SWITCHES": (("orbit.lft", "rollover", 1, 1, 0),)}, "did you mean 'orbit.left'"),
        ({"KICKERS": (("kikback", 1, 1, 0, ""),)}, "did you mean 'kickback'"),
        ({"PATHS": (("lane", "lane.tpo", ()),)}, "did you mean 'lane.top'"),
        ({"ART": (("fill", "medow", ()),)}, "did you mean 'meadow'"),
        (
            {"FLASHERS": (("flash.jar", "white", 1),)},
            "FLASHERS, row 1 has 3 entries; it takes coil, colour, x, y",
        ),
    ],
)
def test_a_wrong_drawing_is_refused_in_one_sentence(tables, sentence):
    with pytest.raises(GameError, match=sentence):
        the_layout(_changed(layout, **tables))


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (("q", "shot", "left_orbitt", "x"), "did you mean 'left_orbit'"),
        (("q", "switch", "strat", "x"), "did you mean 'start'"),
        (("q", "shoot", "left_orbit", "x"), "switch, latch or shot is allowed"),
        (("hyper", "shot", "left_orbit", "x"), "there is no key 'hyper'"),
        (("p", "shot", "left_orbit", "x"), "key 'p' is used twice"),
    ],
)
def test_a_wrong_key_map_is_refused_in_one_sentence(row, sentence):
    with pytest.raises(GameError, match=sentence):
        the_keys(_changed(keys, KEYS=(("all", (row,)),)))


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (("fil", "meadow", ()), "ART names 'fil', which is not there; did you mean 'fill'"),
        (("fill", "meadow"), "ART, row 1, 'fill': missing a required argument: 'points'"),
    ],
)
def test_a_wrong_row_of_art_is_refused_in_one_sentence(row, sentence):
    with pytest.raises(GameError, match=sentence):
        draw_background(the_layout(_changed(layout, ART=(row,))), 0.5)


def test_a_missing_table_is_named():
    made = _changed(layout)
    del made.KICKERS
    with pytest.raises(GameError, match="there is no table KICKERS"):
        the_layout(made)


def test_every_shot_has_a_key():
    used = {name for _, rows in keys.KEYS for _, kind, name, _ in rows if kind == "shot"}
    assert used == {row[0] for row in routes.SHOTS}


def test_every_point_a_route_leads_to_is_drawn():
    points = the_layout().points
    for steps in [row[4] for row in routes.SHOTS] + [row[1] for row in routes.ROUTES]:
        for step in steps:
            for name in _goals(step):
                assert name in points, step
    for _, switches, *_ in [(row[0], row[1]) for row in routes.DEVICES]:
        assert all(name in points for name in switches if name)


def _goals(step):
    if step[0] in ("hit", "spin", "latch", "move", "rest"):
        return [step[2]]
    return step[2] if step[0] == "bounce" else []
