"""The desk's keys: Honey Flow's are whole, wrong ones are refused in one sentence."""

import types

import pytest

from firmware.base.errors import GameError
from firmware.games.honey_flow import wiring
from hil import games
from simulator.desk.keymap import KeyMap

GAME = games.load("honey_flow")
routes, keys = GAME.tables("routes"), GAME.tables("keys")
SWITCHES = [row[0] for row in wiring.SWITCHES]
SHOTS = [row[0] for row in routes.SHOTS]


def the_keys(module=keys):
    return KeyMap(module, SWITCHES, SHOTS)


def _changed(module, **tables):
    made = types.ModuleType("made_up")
    made.__dict__.update({name: getattr(module, name) for name in dir(module) if name.isupper()})
    made.__dict__.update(tables)
    return made


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


def test_every_shot_has_a_key():
    used = {name for _, rows in keys.KEYS for _, kind, name, _ in rows if kind == "shot"}
    assert used == {row[0] for row in routes.SHOTS}
