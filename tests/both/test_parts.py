"""The rule kit, part by part, each in a machine of its own."""

from part_rig import Machine

from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.charts.model import ANY
from firmware.parts.built_value import BuiltValue
from firmware.parts.ladder import Ladder
from firmware.parts.lights import Lights
from firmware.parts.multiplier import Multiplier
from firmware.parts.pot import Pot
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER


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
