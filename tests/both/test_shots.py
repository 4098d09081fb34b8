"""Ramps and orbits: what counts as a shot."""

from part_rig import Machine

from firmware.base.trace import COIL, EVENT, LAMP
from firmware.charts.model import ANY, after, external
from firmware.parts.orbit import Orbit
from firmware.parts.ramp import Ramp


class Hill(Ramp):
    name = "hill"
    enter_switch = "up"
    made_event = "made.hill"
    chart = (
        ("clear", "up", "climbing", "enter"),
        ("climbing", "up", external("climbing"), "enter"),
        ("climbing", "top", "clear", ("leave", "make")),
        ("climbing", "playfield", None, "leave", "elsewhere"),
        ("climbing", after(3000), "clear", "leave"),
        (ANY, "made.hill", None, "count"),
    )

    def __init__(self, play):
        super().__init__(play)
        self.made = 0

    def count(self, event):
        self.made += 1


def made_after(ms):
    m = Machine(Hill)
    m.post("up")
    m.to(ms)
    m.post("top")
    return m.feature.made


def test_a_ramp_is_made_only_in_time():
    assert made_after(2999) == 1
    assert made_after(3000) == 0


def test_enter_alone_and_made_alone_do_not_count():
    m = Machine(Hill)
    m.post("top")
    m.post("up")
    m.to(9000)
    assert m.feature.made == 0


def test_a_ball_rolling_back_starts_the_ramp_again():
    m = Machine(Hill)
    m.post("up")
    m.to(2000)
    m.post("up")
    m.to(4500)
    m.post("top")
    assert m.feature.made == 1


def test_a_ball_on_a_ramp_is_not_free():
    m = Machine(Hill)
    m.post("up")
    m.post("playfield", m.play.switch_names.index("up"))
    assert m.play.free == 0
    m.post("playfield", m.play.switch_names.index("z"))
    assert m.play.free == 1


def test_a_ball_is_on_a_ramp_three_seconds_at_most():
    m = Machine(Hill)
    m.post("up")
    m.to(3000)
    assert m.play.free == 1


class Circle(Orbit):
    name = "circle"
    made_event = "made.circle"
    chart = (
        ("quiet", "round", "heard", "make"),
        ("heard", after(1500), "quiet"),
        (ANY, "made.circle", None, "count"),
    )

    def __init__(self, play):
        super().__init__(play)
        self.made = 0

    def count(self, event):
        self.made += 1


def test_a_second_closure_of_an_orbit_counts_only_after_its_time():
    m = Machine(Circle)
    m.post("round")
    m.to(1499)
    m.post("round")
    assert m.feature.made == 1
    m.to(1500)
    m.post("round")
    assert m.feature.made == 2


def test_chart_events_are_in_the_trace_when_raised():
    m = Machine(Circle)
    m.post("round")
    names = [m.play.events.name(r[2]) for r in m.records(EVENT)]
    assert names == ["made.circle"]
    assert m.records(COIL) == m.records(LAMP) == []
