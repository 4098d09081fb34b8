"""The rest of the rule kit, part by part."""

from part_rig import Machine

from firmware.cabinet.best_score import BestScore
from firmware.charts.model import ANY
from firmware.parts.aimed_plunge import AimedPlunge
from firmware.parts.bank import Bank
from firmware.parts.combo import Combo
from firmware.parts.graded_plunge import GradedPlunge
from firmware.parts.hidden_step import HiddenStep
from firmware.parts.hurry_up import HurryUp
from firmware.parts.kickback import Kickback
from firmware.parts.multiball import Multiball
from firmware.parts.sequence import Sequence
from firmware.parts.state_probe import StateProbe
from firmware.parts.timed_factor import TimedFactor
from firmware.parts.wheel import Wheel
from firmware.play.claims import FAST, NONE
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER


class Kit(Feature):
    name = "kit"
    chart = ((ANY, "z", None, None), ("calm", "up", "busy", None))

    def __init__(self, play):
        super().__init__(play)
        self.bank = Bank(self, ("a.1", "a.2", "a.3"), pays=(20, 40), span=PLAYER, counted=BALL)
        self.turns = Bank(Named(self, "turns"), ("a.1", "a.2"), pays=(20, 40), by_turns=True)
        self.twice = TimedFactor(self, factor=2, seconds=25, cap=40, insert="run")
        self.steps = Sequence(Named(self, "steps"), ("orbit", "ramp", "ramp"), seconds=12)
        self.rush = HurryUp(Named(self, "rush"), start=100_000, floor=20_000, seconds=16)
        self.chain = Combo(Named(self, "chain"), base=5_000, step=5_000, cap=12_000, seconds=4)
        self.plunge = GradedPlunge(self, ("a.1", "a.2"), worth=(3_000, 7_000), most=3, step=2_000)
        self.factor_plunge = GradedPlunge(Named(self, "factor"), ("a.1", "a.2"), worth=(3_000, 7_000), most=2)
        self.aim = AimedPlunge(Named(self, "aim"), ("a.1", "a.2", "a.3"), worth=(10, 20, 30), most=2)
        self.probe = StateProbe(self, "kit", "busy")


class Named:
    """The same feature under another name, so that several parts of one kind can stand in it."""

    def __init__(self, feature, name):
        self._feature = feature
        self.name = name
        self.play = feature.play

    def value(self, what, start=0, span=BALL):
        return self.play.memory.value(self.name, what, start, span)

    def __getattr__(self, name):
        return getattr(self._feature, name)


def test_bank_pays_more_for_later_completions():
    bank = Machine(Kit).feature.bank
    for _ in range(3):
        for place in range(3):
            bank.light(place)
    assert bank.is_full()
    assert [bank.complete(), bank.complete(), bank.complete()] == [20, 40, 40]
    assert bank.completions() == 3
    assert not bank.is_full()


def test_a_bank_that_pays_by_turns_begins_again_after_the_last():
    feature = Machine(Kit).feature
    bank = feature.turns
    assert [bank.complete(), bank.complete(), bank.complete(), bank.complete()] == [20, 40, 20, 40]


def test_an_aimed_plunge_pays_where_the_flash_was_moved_to():
    machine = Machine(Kit)
    aim = machine.feature.aim
    switches = [machine.play.switch(name, "kit") for name in ("a.1", "a.2", "a.3")]
    aim.begin()
    assert [aim.flashes(switch) for switch in switches] == [False, True, False]
    aim.move(1)
    aim.move(1)
    assert [aim.flashes(switch) for switch in switches] == [True, False, False]
    assert aim.land(switches[0]) == 10
    aim.begin()
    aim.move(-1)
    assert aim.flashes(switches[2])
    assert aim.land(switches[2]) == 60


def test_a_bank_remembers_by_its_spans():
    m = Machine(Kit)
    m.feature.bank.light(0)
    m.feature.bank.complete()
    m.feature.bank.light(1)
    m.play.memory.reset(BALL)
    assert m.feature.bank.completions() == 0
    assert m.feature.bank.is_lit(1)


def test_factor_runs_for_its_time_and_extends_to_its_cap():
    m = Machine(Kit)
    twice = m.feature.twice
    twice.start()
    assert m.play.score.factor == 2
    m.to(5000)
    twice.extend(500)
    assert twice.window.remaining_ms() == 20_500
    for _ in range(100):
        twice.extend(500)
    assert twice.window.remaining_ms() == 40_000
    twice.start()
    assert twice.window.remaining_ms() == 40_000
    twice.stop()
    assert (m.play.score.factor, twice.window.remaining_ms()) == (1, 0)


def test_sequence_wants_its_shots_in_order_and_repeats_count():
    steps = Machine(Kit).feature.steps
    assert not steps.hit("ramp")
    assert steps.hit("orbit")
    assert not steps.hit("orbit")
    assert steps.hit("ramp")
    assert not steps.is_done()
    assert steps.window.remaining_ms() == 12_000
    assert steps.hit("ramp")
    assert steps.is_done()
    assert steps.window.remaining_ms() == 0
    steps.restart()
    assert steps.step() == 0


def test_hurry_up_falls_in_a_straight_line():
    m = Machine(Kit)
    rush = m.feature.rush
    rush.open()
    assert rush.worth() == 100_000
    m.to(4000)
    assert rush.worth() == 80_000
    m.to(12_000)
    assert rush.collect() == 40_000
    assert not rush.is_running()


def test_hurry_up_stands_still_with_its_window():
    m = Machine(Kit)
    rush = m.feature.rush
    rush.open()
    m.to(4000)
    m.free(0)
    m.to(60_000)
    assert rush.worth() == 80_000


def test_combo_grows_to_its_cap_and_a_repeat_starts_anew():
    chain = Machine(Kit).feature.chain
    assert [chain.hit(0), chain.hit(1), chain.hit(2), chain.hit(3)] == [0, 5_000, 10_000, 12_000]
    assert chain.hit(1) == 0
    assert chain.length() == 1


def test_combo_ends():
    chain = Machine(Kit).feature.chain
    chain.hit(0)
    chain.end()
    assert chain.hit(1) == 0


def test_each_plunge_adds_a_step_up_to_the_last():
    m = Machine(Kit)
    plunge = m.feature.plunge
    first = m.play.switch_names.index("a.1")
    plunge.begin()
    assert plunge.land(first) == 3_000
    plunge.begin()
    assert plunge.land(first) == 5_000
    plunge.begin()
    plunge.begin()
    assert plunge.number() == 3
    assert plunge.land(first + 1) == 11_000


def test_without_a_step_plunges_multiply_up_to_the_last():
    m = Machine(Kit)
    plunge = m.feature.factor_plunge
    first = m.play.switch_names.index("a.1")
    plunge.begin()
    assert plunge.land(first) == 3_000
    plunge.begin()
    plunge.begin()
    assert plunge.land(first + 1) == 14_000


def test_a_probe_sees_the_other_feature():
    m = Machine(Kit)
    probe = m.feature.probe
    probe.bind()
    assert not probe.is_active()
    m.post("up")
    assert probe.is_active()


class Step(HiddenStep):
    name = "gold"
    span = PLAYER
    first = 4
    weights = (1, 2, 3)
    inserts = ("a.1", "a.2", "a.3")
    pays_event = "prize"
    chart = (
        ("hidden", "reached", "found", "find", "reached"),
        (ANY, "draw", None, "draw"),
        (ANY, "prize", None, "note"),
    )

    def __init__(self, play):
        super().__init__(play)
        play.events.add("reached")
        play.events.add("draw")
        self.prizes = 0

    def note(self, event):
        self.prizes += 1


def test_hidden_step_pays_once_when_it_is_reached():
    m = Machine(Step)
    m.post("draw")
    step = m.feature._step.value
    assert 4 <= step <= 6
    m.feature.show()
    assert m.lamp("a." + str(step - 3)) == FAST
    m.post("reached", step - 1)
    assert m.feature.prizes == 0
    m.post("reached", step)
    m.post("reached", step)
    assert m.feature.prizes == 1
    m.feature.show()
    assert m.lamp("a." + str(step - 3)) == NONE


def test_an_aimed_plunge_flashes_one_insert_while_a_ball_waits():
    m = Machine(Kit)
    aim = m.feature.aim
    lamps = ("a.1", "a.2", "a.3")
    aim.show(True)
    assert [m.lamp(name) for name in lamps] == [NONE, FAST, NONE]
    aim.move(1)
    aim.show(True)
    assert [m.lamp(name) for name in lamps] == [NONE, NONE, FAST]
    aim.show(False)
    assert [m.lamp(name) for name in lamps] == [NONE, NONE, NONE]


def test_a_hurry_up_runs_to_its_last_millisecond():
    m = Machine(Kit)
    m.feature.rush.open()
    m.to(15_999)
    assert m.feature.rush.is_running()
    m.to(16_000)
    assert not m.feature.rush.is_running()


class Step1(HiddenStep):
    name = "step1"
    weights = (1,)
    inserts = ("times.2",)
    pays_event = "found"
    chart = (("hidden", "up", "found", "find", "reached"), ("hidden", "z", None, "draw"))


def test_parts_that_are_not_told_otherwise_do_as_their_pages_say():
    m = Machine(Step1)
    m.post("z")
    m.post("up", 2)
    assert m.feature.is_in("hidden")
    m.post("up", 1)
    assert m.feature.is_in("found")
    assert (Kickback.grace, Multiball.save_seconds, Wheel.stops, BestScore.first) == (3, 0, 8, 100_000)
