"""The rule kit, part by part, each in a machine of its own."""

from part_rig import Machine

from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.base.trace import COIL, CUE, EVENT, LAMP
from firmware.charts.model import ANY, after, external
from firmware.parts.built_value import BuiltValue
from firmware.parts.ladder import Ladder
from firmware.parts.lights import Lights
from firmware.parts.multiplier import Multiplier
from firmware.parts.orbit import Orbit
from firmware.parts.pot import Pot
from firmware.parts.ramp import Ramp
from firmware.parts.window import Window
from firmware.play.claims import FAST, NONE, ON, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER


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


class Lanes(Feature):
    name = "lanes"
    chart = ((ANY, "a", None, "light"),)

    def __init__(self, play):
        super().__init__(play)
        self.lights = Lights(self, ("a.1", "a.2", "a.3"), span=PLAYER)

    def light(self, event):
        self.lights.light(self.lights.place(event))

    def show(self):
        self.lights.show()


def test_lights_fill_and_clear():
    m = Machine(Lanes)
    lights = m.feature.lights
    m.post("a.2")
    assert [lights.is_lit(i) for i in range(3)] == [False, True, False]
    assert lights.lowest_dark() == 0
    m.post("a.1")
    assert lights.would_fill(2)
    assert not lights.would_fill(1)
    m.post("a.3")
    assert lights.is_full()
    assert lights.lowest_dark() == -1
    assert not lights.would_fill(2)
    lights.clear()
    assert lights.lowest_dark() == 0


def test_lights_rotate_round_the_ends():
    m = Machine(Lanes)
    lights = m.feature.lights
    m.post("a.1")
    lights.rotate_left()
    assert [lights.is_lit(i) for i in range(3)] == [False, False, True]
    lights.rotate_right()
    assert [lights.is_lit(i) for i in range(3)] == [True, False, False]
    lights.rotate_right()
    assert [lights.is_lit(i) for i in range(3)] == [False, True, False]


def test_lights_show_their_lamps():
    m = Machine(Lanes)
    m.post("a.3")
    m.feature.show()
    assert (m.lamp("a.1"), m.lamp("a.3")) == (NONE, ON)


def test_lights_need_neighbouring_switches():
    class Apart(Feature):
        name = "apart"
        chart = ((ANY, "z", None, None),)

        def __init__(self, play):
            super().__init__(play)
            Lights(self, ("a.1", "a.3"))

    try:
        Machine(Apart)
    except GameError as error:
        assert "side by side" in str(error)
    else:
        raise AssertionError("switches apart passed")


class Values(Feature):
    name = "values"
    chart = ((ANY, "z", None, None),)

    def __init__(self, play):
        super().__init__(play)
        self.built = BuiltValue(self, start=30, step=2, cap=35, span=BALL)
        self.pot = Pot(self, reset=400, floor=800, cap=5000)
        self.ladder = Ladder(self, (10, 20, 40), windows=(18, 9), hard=(12, 6))
        self.times = Multiplier(self, top=3)


def test_built_value_grows_to_its_cap_and_starts_again():
    built = Machine(Values).feature.built
    built.grow()
    assert built.worth() == 32
    for _ in range(5):
        built.grow()
    assert built.collect() == 35
    assert built.worth() == 30


def test_pot_has_a_floor_a_cap_and_a_reset():
    pot = Machine(Values).feature.pot
    pot.open_game()
    assert pot.worth() == 800
    pot.grow(5000)
    assert pot.worth() == 5000
    pot.open_game()
    assert pot.collect() == 5000
    assert pot.worth() == 400


def test_ladder_climbs_falls_and_gets_harder():
    ladder = Machine(Values).feature.ladder
    assert (ladder.climb(), ladder.window()) == (10, 18)
    assert (ladder.climb(), ladder.window()) == (20, 9)
    ladder.fall()
    assert ladder.next() == 2
    ladder.climb()
    assert ladder.at_top()
    assert ladder.climb() == 40
    assert ladder.has_topped()
    assert (ladder.next(), ladder.window()) == (1, 12)
    ladder.fall()
    assert ladder.next() == 1


def test_multiplier_stops_at_its_top():
    m = Machine(Values)
    times = m.feature.times
    times.grow()
    times.show()
    assert m.lamp("times.2") == ON
    times.grow()
    times.grow()
    assert times.at_top()
    assert times.times() == 3
    times.reset()
    assert times.times() == 1


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


class Row(Feature):
    name = "row"
    chart = ((ANY, "z", None, None),)

    def __init__(self, play):
        super().__init__(play)
        self.lights = Lights(self, ("a.1", "a.2", "a.3"))


def test_lights_do_what_a_list_of_them_does():
    m = Machine(Row)
    lights = m.feature.lights
    chance = Stream(9, 1)
    lit = [False] * 3
    excused = [False] * 3
    for _ in range(600):
        kind, place = chance.below(7), chance.below(3)
        if kind < 2:
            lights.light(place)
            lit[place] = True
        elif kind == 2:
            lights.rotate_left()
            lit = lit[1:] + lit[:1]
        elif kind == 3:
            lights.rotate_right()
            lit = lit[-1:] + lit[:-1]
        elif kind == 4:
            excused[place] = not excused[place]
            m.play.switch_monitor.excused[lights.first + place] = excused[place]
        elif kind == 5 and not chance.below(3):
            lights.clear()
            lit = [False] * 3
        else:
            lights.light(-1)
        needed = [i for i in range(3) if not excused[i]] or [0, 1, 2]
        assert [lights.is_lit(i) for i in range(3)] == lit
        assert lights.is_full() == all(lit[i] for i in needed)
        assert lights.lowest_dark() == ([i for i in range(3) if not lit[i]] + [-1])[0]
        for i in range(3):
            filled = not all(lit) and all(lit[j] or j == i for j in needed)
            assert lights.would_fill(i) == filled, (lit, excused, i)
        assert not lights.would_fill(-1)
        lights.show()
        assert [m.lamp("a." + str(i + 1)) == ON for i in range(3)] == lit
    assert [lights.place(lights.first + i) for i in range(3)] == [0, 1, 2]


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
