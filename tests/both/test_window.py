"""A timed window: how long, how it blinks, when it stands still."""

from part_rig import Machine

from firmware.base.trace import CUE
from firmware.parts.window import Window
from firmware.play.claims import FAST, NONE, SLOW
from firmware.play.feature import Feature


class Run(Feature):
    name = "run"
    chart = (("shut", "z", "open", "open"), ("open", "run.expired", "shut", "note"))

    def __init__(self, play):
        super().__init__(play)
        self.window = Window(self, seconds=14, insert="run", flasher="flash")
        self.late = 0

    def open(self, event):
        self.window.open()

    def note(self, event):
        self.late += 1


def test_window_closes_once_when_time_is_up():
    m = Machine(Run)
    m.post("z")
    m.to(13999)
    assert m.feature.window.remaining_ms() == 1
    assert m.feature.late == 0
    m.to(14000)
    assert m.feature.late == 1
    m.to(40000)
    assert m.feature.late == 1
    assert m.feature.window.remaining_ms() == 0


def test_window_blinks_faster_then_warns():
    m = Machine(Run)
    m.post("z")
    assert m.lamp("run") == SLOW
    m.to(8999)
    assert m.lamp("run") == SLOW
    m.to(9000)
    assert m.lamp("run") == FAST
    m.to(11999)
    assert m.wishes() == 0
    assert m.records(CUE) == []
    m.to(13999)
    assert m.wishes() == 5
    assert len(m.records(CUE)) == 1
    m.to(14000)
    assert m.lamp("run") == NONE


def test_window_stands_still_while_no_ball_is_free():
    m = Machine(Run)
    m.post("z")
    m.to(1000)
    m.free(0)
    m.to(50000)
    assert m.feature.window.remaining_ms() == 13000
    m.free(1)
    m.to(62999)
    assert m.feature.late == 0
    m.to(63000)
    assert m.feature.late == 1


def test_window_opened_while_frozen_waits():
    m = Machine(Run)
    m.free(0)
    m.post("z")
    m.to(20000)
    assert m.feature.window.remaining_ms() == 14000


def test_window_extends_up_to_its_cap():
    m = Machine(Run)
    m.post("z")
    m.to(1000)
    m.feature.window.extend(500, 40000)
    assert m.feature.window.remaining_ms() == 13500
    m.feature.window.extend(5000, 15000)
    assert m.feature.window.remaining_ms() == 15000
    m.feature.window.extend(500, 15000)
    assert m.feature.window.remaining_ms() == 15000


def test_a_closed_window_does_not_extend():
    m = Machine(Run)
    m.feature.window.extend(500, 40000)
    assert m.feature.window.remaining_ms() == 0


def test_window_extended_into_calm_blinks_slowly_again():
    m = Machine(Run)
    m.post("z")
    m.to(10000)
    assert m.lamp("run") == FAST
    m.feature.window.extend(5000, 40000)
    assert m.lamp("run") == SLOW


def test_close_windows_closes_without_an_event():
    m = Machine(Run)
    m.post("z")
    m.play.close_windows()
    m.to(20000)
    assert m.feature.late == 0
    assert m.lamp("run") == NONE


def test_a_window_says_whether_its_time_stands_still():
    m = Machine(Run)
    window = m.feature.window
    assert not window.is_frozen()
    m.post("z")
    assert not window.is_frozen()
    m.free(0)
    assert window.is_frozen()
    m.free(1)
    assert not window.is_frozen()


def test_the_flasher_of_a_window_pulses_every_400_ms_from_two_seconds_before_its_end_on():
    m = Machine(Run)
    m.post("z")
    pulsed = []
    for ms in range(11_900, 14_100):
        m.to(ms)
        pulsed += [ms] * m.wishes()
    assert pulsed == [12_000, 12_400, 12_800, 13_200, 13_600]


def test_a_window_that_is_opened_for_less_begins_as_the_end_of_a_long_one():
    for length, pattern, wishes in (
        (5001, SLOW, 0),
        (5000, FAST, 0),
        (2001, FAST, 0),
        (2000, FAST, 1),
        (1, FAST, 1),
    ):
        m = Machine(Run)
        m.feature.window.open_for(length)
        assert (m.lamp("run"), m.wishes()) == (pattern, wishes), length
        assert m.feature.window.remaining_ms() == length
