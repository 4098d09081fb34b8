"""Volume, light and quiet hours."""

from watch_rig import rule_context

from firmware.play.ambient import Ambient

# Volume, quiet hours, brightness


class Ears:
    def __init__(self):
        self.heard = []

    def volume(self, steps):
        self.heard.append(("volume", steps))

    def brightness(self, percent):
        self.heard.append(("brightness", percent))


ROWS = (
    ("volume", 7, 0, 10, "steps", ""),
    ("quiet_volume", 2, 0, 10, "steps", ""),
    ("quiet_from", 22, 0, 23, "hours", ""),
    ("quiet_to", 8, 0, 23, "hours", ""),
    ("attract_light", 40, 10, 100, "%", ""),
)


def test_quiet_hours_pass_midnight_and_need_a_clock():
    play = rule_context(ROWS)
    ambient = Ambient(play)
    board = Ears()
    ambient.apply(board)
    assert board.heard == [("volume", 7), ("brightness", 40)]
    ambient.set_time(20260131, 21 * 60 + 59, 0)
    ambient.update(59_999)
    assert len(board.heard) == 2
    ambient.update(60_000)
    assert board.heard[2:] == [("volume", 2)]
    ambient.update(10 * 3600_000)
    ambient.update(10 * 3600_000 + 60_000)
    assert board.heard[3:] == [("volume", 7)]
    assert play.faults.date == 20260131


def test_lamps_are_bright_while_somebody_plays():
    play = rule_context(ROWS)
    ambient = Ambient(play)
    board = Ears()
    ambient.apply(board)
    play.score.live = True
    ambient.update(1000)
    play.score.live = False
    ambient.update(2000)
    assert board.heard[1:] == [("brightness", 40), ("brightness", 100), ("brightness", 40)]


def test_a_game_without_those_settings_is_loud_and_bright():
    ambient = Ambient(rule_context())
    board = Ears()
    ambient.apply(board)
    assert board.heard == [("volume", 10), ("brightness", 100)]
    for hour in range(24):
        ambient.set_time(20260131, hour * 60, 0)
        assert not ambient.is_quiet(0), hour


def test_quiet_hours_begin_and_end_with_their_hour():
    for begin, end, quiet in ((22, 8, (22, 23, 0, 5, 7)), (8, 12, (8, 11)), (5, 5, ())):
        rows = ROWS[:2] + (("quiet_from", begin, 0, 23, "hours", ""), ("quiet_to", end, 0, 23, "hours", ""))
        ambient = Ambient(rule_context(rows))
        for hour in (0, 5, 7, 8, 11, 12, 21, 22, 23):
            for minute in (0, 59):
                ambient.set_time(20260131, hour * 60 + minute, 0)
                assert ambient.is_quiet(0) == (hour in quiet), (begin, end, hour)


def test_quiet_hours_are_no_louder_than_usual():
    rows = (("volume", 2, 0, 10, "steps", ""), ("quiet_volume", 5, 0, 10, "steps", "")) + ROWS[2:4]
    ambient = Ambient(rule_context(rows))
    board = Ears()
    ambient.set_time(20260131, 23 * 60, 0)
    ambient.apply(board)
    assert board.heard == [("volume", 2), ("brightness", 100)]
