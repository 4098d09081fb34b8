"""A kept driver board's inputs: levels, decoders, blanking; off is the default."""

from firmware.base.errors import GameError
from firmware.devices.existing_driver import HIGH, LOW, ExistingDriver

LINES = ((0, 0, HIGH), (1, 1, LOW))
DECODER = (2, 2, 4, LOW, (2, 3, -1, 4))


def driver():
    return ExistingDriver(6, LINES, (DECODER,), (5, 20))


def refused(make):
    try:
        make()
    except GameError as error:
        return str(error)
    return ""


def test_everything_is_off_from_the_start():
    assert list(driver().levels[:2]) == [0, 1]
    assert driver().levels[4] == 1


def test_a_line_takes_its_active_level():
    kept = driver()
    kept.show(bytearray([1, 1, 0, 0, 0]))
    assert list(kept.levels[:2]) == [1, 0]
    kept.all_off()
    assert list(kept.levels[:2]) == [0, 1]


def test_a_decoder_is_given_the_number_and_then_enabled():
    kept = driver()
    kept.show(bytearray([0, 0, 0, 0, 1]))
    assert list(kept.levels[2:5]) == [1, 1, 0]
    kept.show(bytearray(5))
    assert kept.levels[4] == 1


def test_of_two_coils_on_one_decoder_only_the_first_is_driven():
    kept = driver()
    kept.show(bytearray([0, 0, 1, 1, 0]))
    assert list(kept.levels[2:5]) == [0, 0, 0]
    assert kept.refused == 1


def test_blanking_is_kept_alive_only_by_feeding():
    kept = driver()
    before = kept.levels[5]
    kept.show(bytearray([1, 0, 0, 0, 0]))
    assert kept.levels[5] == before
    kept.feed()
    assert kept.levels[5] != before
    fed = kept.levels[5]
    kept.feed()
    assert kept.levels[5] != fed
    assert kept.wants_feed_within() == 20


def test_what_cannot_be_done_is_refused():
    assert "both on output line 0" in refused(lambda: ExistingDriver(2, ((0, 0, 1), (1, 0, 1))))
    assert "driven by line 0 and by line 1" in refused(lambda: ExistingDriver(2, ((0, 0, 1), (0, 1, 1))))
    assert "there are 0 to 1" in refused(lambda: ExistingDriver(2, ((0, 2, 1),)))
    assert "is 0 or 1" in refused(lambda: ExistingDriver(2, ((0, 0, 2),)))
    assert "cannot tell 3 coils apart" in refused(lambda: ExistingDriver(3, (), ((0, 1, 2, 0, (0, 1, 2)),)))
    assert "within 1 ms" in refused(lambda: ExistingDriver(2, ((0, 0, 1),), (), (1, 1)))
