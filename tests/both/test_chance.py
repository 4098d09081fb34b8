"""Seeded chance, the same on both Pythons."""

from firmware.base.chance import Stream


def test_the_generator_gives_the_published_words():
    # xorshift32, seed 1: 270369, 67634689, 2647435461, 307599695
    # (G. Marsaglia, "Xorshift RNGs", 2003, triple 13, 17, 5; words computed with a bitwise model).
    stream = Stream(1)
    for word in (270369, 67634689, 2647435461, 307599695):
        stream.step()
        assert (stream.hi, stream.lo) == (word >> 16, word & 0xFFFF)


def test_streams_of_one_seed_differ():
    a = Stream(7, 1)
    b = Stream(7, 2)
    assert [a.below(1000) for _ in range(8)] != [b.below(1000) for _ in range(8)]


def test_the_same_seed_and_use_give_the_same_draws():
    first = [Stream(9, 3).below(8) for _ in range(4)]
    assert first == [Stream(9, 3).below(8) for _ in range(4)]


def test_draws_stay_below_their_bound():
    stream = Stream(3, 1)
    for n in (1, 2, 3, 100, 16384):
        for _ in range(50):
            assert 0 <= stream.below(n) < n


def test_weights_of_nought_are_never_drawn():
    stream = Stream(5, 1)
    drawn = [stream.weighted((0, 3, 0, 1)) for _ in range(200)]
    assert set(drawn) == {1, 3}


def test_seed_nought_still_draws():
    stream = Stream(0)
    stream.step()
    assert stream.hi or stream.lo
