"""How long the steps of Honey Flow's lamp shows take, by its rule sheet, and how often flashers flash."""

from firmware.games.honey_flow import shows

SHEET = (
    # show, ms of each step, rounds, ms in all: 0 where it lasts as long as what it goes with
    (shows.CALLING, [700] * 8, 0, 0),
    (shows.POURING, [250] * 4, 2, 2000),
    (shows.TOPPED, [200] * 4 + [300] * 4, 1, 2000),
    (shows.FLYING, [200] * 4, 0, 0),
)
LEAST = 400  # ms from flash to flash of one flasher: two and a half a second


def test_steps_take_as_long_as_the_sheet_says():
    for steps, ms, rounds, total in SHEET:
        assert [step[0] for step in steps] == ms
        assert sum(ms) * rounds == total


def test_no_flasher_is_asked_for_more_often_than_two_and_a_half_times_a_second():
    for steps, _ms, _rounds, _total in SHEET:
        at = 0
        last = {}
        for ms, _lamps, flashers in steps + steps:
            for flasher in flashers.split():
                assert at - last.get(flasher, -LEAST) >= LEAST, flasher
                last[flasher] = at
            at += ms
