"""A damaged drawing is refused in sentences, or read: nothing else happens."""

import random
import re

import pytest

from firmware.base.errors import GameError
from hil import games
from hil.command import drawn
from simulator.drawing.drawing import Drawing

COUNT = 60


def damage(text, chance):
    """The text with one word, number, tag or stretch of it changed."""
    at = chance.randrange(len(text))
    kind = chance.randrange(5)
    if kind == 0:
        return text[:at] + chance.choice("<>\"'&9-.eMzq (") + text[at + 1 :]
    if kind == 1:
        return text[:at] + text[at + chance.randrange(1, 40) :]
    numbers = list(re.finditer(r"-?\d+(\.\d+)?", text))
    words = list(re.finditer(r"[\w.-]+", text))
    if kind == 2:
        number = chance.choice(numbers)
        new = chance.choice(["1e999", "-7", "0", "nan", "99999999999", "1e-30", ""])
        return text[: number.start()] + new + text[number.end() :]
    one, other = chance.choice(words), chance.choice(words)
    return text[: one.start()] + other[0] + text[one.end() :]


@pytest.mark.parametrize("seed", [1, pytest.param(2, marks=pytest.mark.slow)])
def test_a_damaged_drawing_is_refused_in_sentences_or_read(seed):
    game = games.load("kit_room")
    machine, whole = drawn.machine(game), drawn.path(game).read_text()
    chance = random.Random(seed)
    refused = [problems(damage(whole, chance), machine) for _ in range(COUNT)]
    assert all(re.fullmatch(r"damaged\.svg:\d+: .+", problem) for found in refused for problem in found)
    assert COUNT // 10 < sum(bool(found) for found in refused) < COUNT


def problems(text, machine):
    """Why a drawing is refused, a line each; nothing when it can be used."""
    try:
        drawing = Drawing(text.encode(), "damaged.svg", machine)
        drawing.require_fit()
    except GameError as error:
        return str(error).splitlines()
    return []
