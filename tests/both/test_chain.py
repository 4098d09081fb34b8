"""Lamps on a chain of LEDs: places, colours, amperes."""

from firmware.devices import chain


class Wiring:
    def __init__(self, *lamps):
        self.LAMPS = lamps


def many(count, colour):
    return Wiring(*[("lamp." + str(i), colour, 0, i) for i in range(1, count + 1)])


def test_a_colour_is_sent_green_first_and_never_above_the_cap():
    assert chain.words(Wiring(("a", "red", 0, 1), ("b", "white", 0, 3))) == bytes(
        [0, 48, 0, 0, 0, 0, 48, 48, 48]
    )
    for name, _red, _green, _blue in chain.COLOURS:
        assert max(chain.levels(name)) <= chain.LEVEL


def test_pure_colours_have_one_part_and_none_is_below_nothing():
    for colour, at in (("green", 0), ("red", 1), ("blue", 2)):
        assert [n > 0 for n in chain.levels(colour)] == [n == at for n in range(3)], colour
        assert chain.levels(colour)[at] == chain.LEVEL
    for name, _red, _green, _blue in chain.COLOURS:
        assert min(chain.levels(name)) >= 0, name


def test_the_whole_chain_in_white_stays_within_the_supply():
    # 64 × (3 × 20 mA × 48/255 + 1 mA) = 787 mA; at full level it would be 3.9 A
    assert chain.milliamperes(many(64, "white")) == 786
    assert chain.refusals(many(64, "white")) == []


def test_what_a_chain_cannot_be_is_refused():
    matrix = ("m", "red", 1, 1)
    for wiring, words in (
        (Wiring(("a", "red", 0, 1), matrix), "'m' is in the matrix and others are on the chain"),
        (Wiring(("a", "red", 0, 65)), "'a' is at chain 65; a chain has places 1 to 64"),
        (Wiring(("a", "red", 0, 5), ("b", "red", 0, 5)), "'a' and 'b' are both at chain 5"),
    ):
        assert [line for line in chain.refusals(wiring) if words in line]


def test_more_amperes_than_the_supply_bears_are_refused():
    level, chain.LEVEL = chain.LEVEL, 255
    try:
        assert chain.refusals(many(64, "white")) == [
            "64 lamps on the chain draw 3904 mA; the 5 V supply bears 1500 mA for them"
        ]
    finally:
        chain.LEVEL = level


def test_the_supply_bears_just_what_it_gives():
    most = chain.SUPPLY_MA
    try:
        for gives, complaints in ((786, 0), (785, 1)):
            chain.SUPPLY_MA = gives
            assert len(chain.refusals(many(64, "white"))) == complaints, gives
    finally:
        chain.SUPPLY_MA = most


def test_a_matrix_is_no_chain():
    assert not chain.chained(Wiring(("m", "red", 1, 1)))
    assert chain.chained(Wiring(("a", "red", 0, 1)))


def test_a_machine_without_lamps_has_no_chain():
    assert not chain.chained(Wiring())
    assert chain.chained(Wiring(("a", "red", 0, 1)))


def test_a_colour_that_is_not_in_the_table_is_white():
    assert chain.levels("mauve") == chain.levels("white") == (chain.LEVEL,) * 3


def test_places_without_a_lamp_stay_dark_whatever_their_order():
    red, white = ("a", "red", 0, 1), ("b", "white", 0, 8)
    expected = bytes([0, 48, 0] + [0] * 18 + [48] * 3)
    assert chain.words(Wiring(red, white)) == chain.words(Wiring(white, red)) == expected
