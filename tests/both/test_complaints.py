"""What is wrong in a game or a board is one sentence, with its place and the near miss."""

from part_rig import Machine

from boards.unix.trials.small_machine import SmallMachine
from firmware.base.errors import GameError, InlaneError
from firmware.charts.suggest import distance, nearest
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.scan import build as build_scan
from firmware.devices.scan import place
from firmware.devices.self_test import CLOCK, FIRMWARE, LOOKS, STUCK, TestedBoard, describe, find_faults
from firmware.devices.store.medium import Medium
from firmware.games.honey_flow.settings import SETTINGS as HONEY_FLOW
from firmware.games.kit_room.settings import SETTINGS as KIT_ROOM
from firmware.games.kite_day.settings import SETTINGS as KITE_DAY
from firmware.play.counts import Counts
from firmware.play.feature import Feature


def complaint(call):
    try:
        call()
    except GameError as error:
        return str(error)
    raise AssertionError("it was taken")


def test_a_count_that_is_not_there_is_named_with_the_near_miss():
    said = complaint(lambda: Counts(1).get("slam"))
    assert said == "there is no count 'slam'; did you mean 'slams'?"


class Wall(Feature):
    name = "wall"
    chart = (("standing", "up", None, None),)


def test_an_error_begins_with_its_place_where_it_has_one():
    assert str(InlaneError("it is wrong", "game.py:3")) == "game.py:3: it is wrong"
    assert str(InlaneError("it is wrong")) == "it is wrong"


def test_the_distance_of_names_is_the_optimal_string_alignment():
    for one, other, steps in (
        ("", "abc", 3),
        ("abc", "abc", 0),
        ("abc", "acb", 1),
        ("abc", "bac", 1),
        ("ab", "ba", 1),
        ("aab", "aba", 1),
        ("ca", "abc", 3),  # 2 by the other distance, which may edit between two that were swapped
        ("kitten", "sitting", 3),
        ("abb", "abcb", 1),
    ):
        assert distance(one, other) == distance(other, one) == steps, (one, other)
    assert nearest("sling.lfet", ["sling.right", "sling.left"]) == "sling.left"


def test_a_feature_that_is_not_there_is_named_with_the_near_miss():
    play = Machine(Wall).play
    assert play.find("wall") is play.features[0]
    assert play.get("wal") is None
    assert complaint(lambda: play.find("wal")) == "there is no feature 'wal'; did you mean 'wall'?"


def test_a_switch_that_is_not_wired_is_named_with_who_uses_it():
    play = Machine(Wall).play
    said = complaint(lambda: play.switch("scop", "wall"))
    assert said == "switch 'scop' is used by wall but not wired; did you mean 'scoop'?"


def test_a_reflex_of_a_coil_that_is_not_wired_is_named():
    class Wrong(SmallMachine):
        REFLEXES = (("bumper.1", "kick.3", 20, 80),)

    assert complaint(lambda: CoilLimiter(Wrong)).startswith(
        "'kick.3' in REFLEXES is not wired; did you mean 'kick."
    )


def test_every_setting_begins_within_its_range():
    for settings in (HONEY_FLOW, KIT_ROOM, KITE_DAY):
        for name, usual, least, most, unit, _meaning in settings:
            assert least <= usual <= most, name
            assert unit != "hours" or (least, most) == (0, 23), name
            if unit == "points":  # a score's last digit is always 0
                assert usual % 10 == least % 10 == most % 10 == 0, name


def test_a_medium_that_lacks_a_method_says_so():
    for call in (
        lambda: Medium().read(0, 0, bytearray(1)),
        lambda: Medium().program(0, 0, b"x"),
        lambda: Medium().erase(0),
    ):
        try:
            call()
        except NotImplementedError:
            continue
        raise AssertionError("it did nothing")


class Slow(TestedBoard):
    """A board whose clock stands still in its first `wrong` looks, and keeps time from then on."""

    def __init__(self, wrong):
        self.wrong = wrong
        self.now = 0

    def clock_ms(self):
        return self.now

    def wait_us(self, ms):
        if self.wrong:
            self.wrong -= 1
        else:
            self.now += ms
        return ms * 1000


def test_a_clock_is_wrong_when_each_of_three_looks_finds_it_so():
    assert [(name, number) for name, number, _ in find_faults(Slow(3))] == [(CLOCK, 0)]
    assert find_faults(Slow(2)) == []
    assert LOOKS == 3


class Keeper(TestedBoard):
    """A board whose clock goes `went` ms while `us` pass, with the sums that are given."""

    def __init__(self, went=50, us=50_000, expected=b"", actual=b""):
        self.now = 0
        self.went = went
        self.us = us
        self.sums = (expected, actual)

    def clock_ms(self):
        return self.now

    def wait_us(self, ms):
        self.now += self.went
        return self.us

    def expected_sum(self):
        return self.sums[0]

    def actual_sum(self):
        return self.sums[1]


def test_a_clock_may_differ_by_a_tenth_and_two_milliseconds():
    for went, us, wrong in (
        (57, 50_000, []),
        (43, 50_000, []),
        (58, 50_000, [CLOCK]),
        (42, 50_000, [CLOCK]),
        (50, 46_000, []),
    ):
        assert [name for name, _, _ in find_faults(Keeper(went, us))] == wrong, (went, us)


def test_the_firmware_must_have_the_sum_that_is_known_and_any_where_none_is():
    assert find_faults(Keeper(expected=b"ab", actual=b"ab")) == []
    assert find_faults(Keeper(expected=b"", actual=b"ab")) == []
    found = find_faults(Keeper(expected=b"ab", actual=b"ac"))
    assert [(name, number) for name, number, _ in found] == [(FIRMWARE, 0)]
    assert "its sum is another" in describe(found)
    assert describe([]) == ""


def test_places_that_the_scan_does_not_have_are_refused():
    one = ("one", "target", "playfield", 1, 1)
    for row, words in (
        (("two", "target", "playfield", 1, 1), "switches 'one' and 'two' share one place"),
        (("two", "target", "playfield", 9, 1), "switch 'two' is wired to row 9, column 1"),
        (("two", "target", "playfield", 1, 9), "switch 'two' is wired to row 1, column 9"),
        (("two", "target", "playfield", 1, 0), "switch 'two' is wired to row 1, column 0"),
        (("two", "target", "playfield", 0, 0), "switch 'two' is wired to row 0, column 0"),
        (("two", "target", "playfield", 0, 17), "switch 'two' is wired to row 0, column 17"),
    ):
        assert complaint(lambda row=row: build_scan((one, row))).startswith(words), row
    assert complaint(lambda: build_scan((one,), ("two",))) == "INVERTED names 'two', which is not wired"


def test_places_are_numbered_down_the_columns_and_direct_inputs_follow():
    assert [place("x", row, column) for row, column in ((1, 1), (8, 1), (1, 2), (8, 8), (0, 1), (0, 16))] == [
        0,
        7,
        8,
        63,
        64,
        79,
    ]


def test_a_row_of_heat_has_four_entries_and_numbers_in_range():
    for heat, words in (
        ((("eject", 5000, 4000),), "a row of HEAT has coil, milliamperes, budget and percent, not"),
        (
            (("eject", 1_000_001, 4000, 2),),
            "the milliamperes of coil 'eject' is 1000001; it may be 0 to 1000000",
        ),
        ((("eject", -1, 4000, 2),), "the milliamperes of coil 'eject' is -1"),
        ((("eject", 1, 4000, 101),), "the percent of on-time of coil 'eject' is 101; it may be 0 to 100"),
        ((("eject", 1, -1, 2),), "the heat budget of coil 'eject' in ms is -1"),
    ):

        class Wrong(SmallMachine):
            HEAT = heat

        assert complaint(lambda: CoilLimiter(Wrong)).startswith(words), words


class Stuck(Keeper):
    """A board whose outputs 2 and 4 are on."""

    def stuck_coils(self):
        return [2, 4]

    def coil_name(self, coil):
        return "number " + str(coil)


def test_outputs_that_are_on_by_themselves_are_faults_with_their_names():
    found = find_faults(Stuck())
    assert [(name, coil) for name, coil, _ in found] == [(STUCK, 2), (STUCK, 4)]
    assert describe(found) == (
        "output number 2 is on and nobody switched it on; output number 4 is on and nobody switched it on"
    )


def test_a_board_under_test_has_to_say_what_only_it_knows():
    for call in (
        lambda: TestedBoard().coil_name(0),
        lambda: TestedBoard().clock_ms(),
        lambda: TestedBoard().wait_us(1),
    ):
        try:
            call()
        except NotImplementedError:
            continue
        raise AssertionError("it answered")
    assert TestedBoard().actual_sum() == b""
