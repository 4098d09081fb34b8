"""Lamp shows and flashers, under both Pythons."""

import gc

from part_rig import Machine

from firmware.base.errors import GameError
from firmware.base.trace import EVENT, LAMP
from firmware.parts.show import Show
from firmware.play.claims import LOW, NONE, ON, SLOW, WINDOW
from firmware.play.feature import Feature

STEPS = ((300, "a.1 a.2", "flash"), (200, "a.2", ""), (150, "a.3", ""))


class Party(Feature):
    name = "party"
    chart = (("on", "up", None, "begin"), ("on", "top", None, "stop"))
    priority = None
    steps = STEPS
    rounds = 2

    def __init__(self, play):
        super().__init__(play)
        more = {} if self.priority is None else {"priority": self.priority}
        self.rule = self.lamp("a.1")
        self.other = self.lamp("a.3")
        self.party = Show(self, self.steps, rounds=self.rounds, over="party.over", **more)

    def begin(self, event):
        self.party.play()

    def stop(self, event):
        self.party.end()


class Low(Party):
    priority = LOW


def lit(machine):
    return [machine.lamp(name) for name in ("a.1", "a.2", "a.3")]


def changes(machine, until):
    """Times and patterns of lamp a.1, resolved every 5 ms."""
    found = []
    while machine.play.timers.now < until:
        machine.lamp("a.1")
        machine.to(machine.play.timers.now + 5)
        found += [(at, value) for at, _kind, ident, value in machine.records(LAMP) if ident == 0]
    return found


def test_steps_follow_each_other_and_the_last_one_gives_the_lamps_back():
    machine = Machine(Party)
    machine.feature.rule.set(SLOW)
    machine.post("up")
    assert lit(machine) == [ON, ON, NONE]
    machine.to(300)
    assert lit(machine) == [NONE, ON, NONE]  # the rule's blink is covered
    machine.to(500)
    assert lit(machine) == [NONE, NONE, ON]
    machine.to(700)  # calm: the step of 150 ms takes 200
    assert lit(machine) == [ON, ON, NONE]
    machine.to(1399)
    assert lit(machine) == [NONE, NONE, ON]
    machine.to(1400)
    assert lit(machine) == [SLOW, NONE, NONE]
    assert not machine.feature.party.is_running()


def test_a_show_raises_its_event_once_after_its_last_round():
    machine = Machine(Party)
    machine.play.engine.before_event = lambda event: machine.trace.note(EVENT, event, 0)
    over = machine.play.events.add("party.over")
    machine.post("up")
    machine.to(1399)
    assert over not in [ident for _at, _kind, ident, _value in machine.records(EVENT)]
    machine.to(5000)
    assert [ident for _at, _kind, ident, _value in machine.records(EVENT)].count(over) == 1


def test_a_show_below_the_rules_lights_only_what_they_leave():
    machine = Machine(Low)
    machine.feature.other.set(SLOW)
    machine.post("up")
    assert lit(machine) == [ON, ON, SLOW]
    machine.to(500)
    assert lit(machine) == [NONE, NONE, SLOW]


def test_a_window_is_above_a_show():
    machine = Machine(Party)
    machine.feature.lamp("a.1", WINDOW).set(SLOW)
    machine.post("up")
    assert lit(machine) == [SLOW, ON, NONE]


def test_ended_by_an_event_or_with_the_ball_it_raises_nothing():
    for end in ("event", "ball"):
        machine = Machine(Party)
        machine.play.engine.before_event = lambda event, on=machine: on.trace.note(EVENT, event, 0)
        over = machine.play.events.add("party.over")
        machine.post("up")
        machine.to(350)
        if end == "event":
            machine.post("top")
        else:
            machine.play.close_windows()
        assert lit(machine) == [NONE, NONE, NONE]
        machine.to(5000)
        assert over not in [ident for _at, _kind, ident, _value in machine.records(EVENT)]


def test_kept_on_it_plays_until_it_is_given_false():
    machine = Machine(Party)
    machine.feature.party.keep(True)
    machine.feature.party.keep(True)
    machine.to(7 * 700)
    assert lit(machine) == [ON, ON, NONE]
    machine.feature.party.keep(False)
    assert lit(machine) == [NONE, NONE, NONE]


def test_played_again_it_goes_on_from_its_step_for_all_its_rounds():
    machine = Machine(Party)
    machine.post("up")
    machine.to(600)
    machine.post("up")
    assert lit(machine) == [NONE, NONE, ON]
    machine.to(700 + 699)
    assert machine.feature.party.is_running()
    machine.to(700 + 700)
    assert not machine.feature.party.is_running()


def test_calm_lamps_make_short_steps_longer_and_not_calm_ones_stay():
    class Short(Party):
        steps = ((125, "a.1", ""), (125, "", ""))
        rounds = 3

    for calm, step in ((True, 200), (False, 125)):
        machine = Machine(Short)
        machine.play.lamps.calm = calm
        machine.post("up")
        on = [at for at, pattern in changes(machine, 2000) if pattern == ON]
        assert on == [0, 2 * step, 4 * step]


def test_a_lamp_that_stays_lit_is_not_recorded_again():
    machine = Machine(Party)
    machine.post("up")
    lit(machine)
    machine.records(LAMP)
    machine.to(300)
    lit(machine)
    assert [ident for _at, _kind, ident, _value in machine.records(LAMP)] == [0]  # a.2 stays lit


def refusal(some_steps, some_rounds=1):
    class Wrong(Party):
        steps = some_steps
        rounds = some_rounds

    try:
        Machine(Wrong)
    except GameError as error:
        return error.text
    return ""


def test_steps_too_short_too_few_or_with_a_flasher_twice_running_are_refused():
    assert refusal(((300, "a.1", ""), (124, "", ""))) == (
        "step 2 of a show of 'party' takes 124 ms; 125 are the least"
    )
    assert "two steps and one round" in refusal(((300, "a.1", ""),))
    assert "two steps and one round" in refusal(STEPS, 0)
    twice = "flasher 'flash' is in two steps running of a show of 'party'"
    assert twice in refusal(((300, "", "flash"), (300, "", "flash")))
    assert twice in refusal(((300, "", "flash"), (300, "", ""), (300, "", "flash")))  # the first follows
    assert "lamp 'b.1' is used by party" in refusal(((300, "b.1", ""), (300, "", "")))


def test_a_flasher_flashes_twice_and_a_half_a_second_whoever_asks():
    machine = Machine(Party)
    one, other = machine.feature.flasher("flash"), machine.feature.flasher("flash")
    assert one is other
    for calm, gap in ((True, 400), (False, 250)):
        machine.play.lamps.calm = calm
        machine.to(machine.play.timers.now + 1000)
        start = machine.play.timers.now
        assert one.pulse()
        machine.to(start + gap - 1)
        assert not other.pulse()
        machine.to(start + gap)
        assert other.pulse()
    assert machine.wishes() == 4


def test_a_step_allocates_nothing():
    machine = Machine(Party)
    show = machine.feature.party
    show.keep(True)
    if not hasattr(gc, "mem_alloc"):
        return  # CPython allocates for everything
    for _ in range(6):
        show._next()
    machine.wishes()
    gc.collect()
    before = gc.mem_alloc()
    for _ in range(3):
        show._next()
        machine.trace.now += 500
    assert gc.mem_alloc() == before


class Flashing(Party):
    steps = ((500, "a.1", ""), (500, "a.2", "flash"), (500, "a.3", ""))
    rounds = 2


def test_a_flasher_is_pulsed_in_its_own_step_alone():
    machine = Machine(Flashing)
    machine.post("up")
    pulsed = [machine.wishes()]
    for step in range(1, 7):
        machine.to(500 * step)
        pulsed.append(machine.wishes())
    assert pulsed == [0, 1, 0, 0, 1, 0, 0]
