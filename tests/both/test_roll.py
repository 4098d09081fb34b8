"""Many names in one text."""

from firmware.play.roll import Roll


def test_names_come_back_by_number():
    roll = Roll(("bee.1", "", "lane"))
    assert len(roll) == 3
    assert [roll[i] for i in range(3)] == ["bee.1", "", "lane"]
    assert list(roll) == ["bee.1", "", "lane"]


def test_numbers_come_back_by_name():
    roll = Roll(("bee.1", "bee.2", "lane"))
    assert roll.find("lane") == 2
    assert roll.find("bee") == -1
    assert Roll(()).find("") == -1


def test_there_is_nothing_beyond_the_last():
    for roll, at in ((Roll(()), 0), (Roll(("a",)), 1), (Roll(("a",)), -1)):
        try:
            roll[at]
        except IndexError:
            continue
        raise AssertionError("a name beyond the last")
