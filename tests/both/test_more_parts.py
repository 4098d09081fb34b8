"""The rest of the rule kit, part by part."""

from part_rig import Machine

from firmware.base.trace import EVENT
from firmware.cabinet.best_score import BestScore
from firmware.cabinet.bonus import Bonus
from firmware.cabinet.counted_bonus import CountedBonus
from firmware.cabinet.no_bonus import NoBonus
from firmware.charts.model import ANY
from firmware.parts.aimed_plunge import AimedPlunge
from firmware.parts.bank import Bank
from firmware.parts.combo import Combo
from firmware.parts.drop_bank import DropBank
from firmware.parts.graded_plunge import GradedPlunge
from firmware.parts.guarded_scoop import GuardedScoop
from firmware.parts.hidden_step import HiddenStep
from firmware.parts.hurry_up import HurryUp
from firmware.parts.kickback import Kickback
from firmware.parts.lit_outlane import LitOutlane
from firmware.parts.multiball import Multiball
from firmware.parts.sequence import Sequence
from firmware.parts.state_probe import StateProbe
from firmware.parts.timed_factor import TimedFactor
from firmware.parts.wheel import LONG, PATIENCE, Wheel
from firmware.play.claims import FAST, NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER
from firmware.play.requests import HOLD, OFF


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


class Guard(Kickback):
    name = "guard"
    kick_coil = "kick"
    insert = "guard"
    chart = (
        ("calm", "up", "grace", "kick", "lit"),
        ("grace", "up", None, "kick", "lit"),
        ("grace", "guard.expired", "calm", None),
        ("grace", "guard.given", "calm", "close"),
        (ANY, "z", None, "light"),
    )


def test_kickback_fires_once_and_saves_one_drain():
    m = Machine(Guard)
    assert not m.feature.save()
    m.post("up")
    assert m.wishes() == 1
    assert m.feature.save()
    m.play.engine.settle()
    assert not m.feature.save()
    m.post("up")
    assert m.wishes() == 0


def test_kickback_grace_lasts_three_seconds_and_not_in_a_tilt():
    for ms, is_saved in ((2999, True), (3000, False)):
        m = Machine(Guard)
        m.post("up")
        m.to(ms)
        m.play.tilted = True
        assert not m.feature.save()
        m.play.tilted = False
        assert m.feature.save() == is_saved, ms
        m.post("z")
        assert m.feature.lit(0)


class Side(LitOutlane):
    name = "side"
    chart = ((ANY, "z", None, "move"), ("idle", "up", None, "mark", "right_lit"))


def test_the_lit_outlane_moves_with_the_buttons():
    m = Machine(Side)
    m.feature._lit.value = 1
    m.feature.show()
    assert (m.lamp("outlane.right"), m.lamp("outlane.left")) == (ON, NONE)
    m.post("z")
    m.feature.show()
    assert (m.lamp("outlane.right"), m.lamp("outlane.left")) == (NONE, ON)
    assert m.feature.left_lit(0)
    assert not m.feature.right_lit(0)


class FourWheel(Wheel):
    name = "wheel"
    stops = 4
    odds = ((1, 1, 1, 1), (0, 0, 1, 0))
    chart = (
        ("still", "turn.wheel", "turning", "begin"),
        ("turning", "up", None, "pulse_begins"),
        ("turning", "opened.up", None, "pulse_ends"),
        ("turning", "stop.wheel", "still", "show_stop"),
        ("turning", "mute.wheel", "still", "stand_in"),
        (ANY, "shown.wheel", None, "note"),
    )

    def __init__(self, play):
        super().__init__(play)
        self.shown = []

    def note(self, event):
        self.shown.append(self.play.engine.value)


ODDS = (("wheel_odds", 1, 0, 1, "choice", "odds"),)


def pulse(m, length):
    m.post("up")
    m.to(m.trace.now + length)
    m.post("opened.up")
    m.to(m.trace.now + 100)


def motor(m):
    asked = []
    while m.play.coils.count:
        asked.append(m.play.coils.next_ms())
        m.play.coils.drop()
    return asked


def test_wheel_finds_home_and_stops_at_the_drawn_stop():
    m = Machine(FourWheel, ODDS)
    m.feature.turn()
    m.play.engine.settle()
    assert motor(m) == [HOLD]
    pulse(m, 60)
    pulse(m, LONG)
    pulse(m, 60)
    assert m.feature.shown == []
    pulse(m, 60)
    assert m.feature.shown == [2]
    assert motor(m) == [OFF]


def test_a_mute_wheel_is_reported_and_its_lamps_stand_in():
    m = Machine(FourWheel, ODDS)
    m.feature.turn()
    m.play.engine.settle()
    m.to(PATIENCE)
    assert m.feature.shown == [2]
    assert m.play.faults.count == 1
    m.feature.show()
    assert m.lamp("wheel.3") != NONE


class Gate(GuardedScoop):
    name = "gate"
    target_switch = "up"
    scoop_switch = "scoop"
    reset_coil = "reset"
    chart = (
        ("up", "up", "down", None),
        ("down", "z", "raising", "begin_raising"),
        ("raising", "raise.gate", None, "wait_for_clear", "not is_clear"),
        ("raising", "raise.gate", None, "raise_target", "is_clear"),
        ("raising", "check.gate", "up", None, "not is_down"),
        ("raising", "check.gate", None, "raise_target", "may_retry"),
        ("raising", "check.gate", "stuck", "report_stuck", "failed"),
        (ANY, "opened.scoop", None, "note_leaving"),
    )


def set_contact(m, name, closed):
    m.play.closed[m.play.switch_names.index(name)] = closed


def test_a_target_that_stays_down_is_tried_three_times_and_reported():
    m = Machine(Gate)
    set_contact(m, "up", 1)
    m.post("up")
    m.post("z")
    m.to(5000)
    assert m.wishes() == 3
    assert m.feature.is_in("stuck")
    assert m.play.faults.count == 1


def test_a_target_is_not_raised_into_a_ball():
    m = Machine(Gate)
    set_contact(m, "up", 1)
    set_contact(m, "scoop", 1)
    m.post("up")
    m.post("z")
    m.to(3000)
    assert m.wishes() == 0
    set_contact(m, "scoop", 0)
    m.post("opened.scoop")
    m.to(3450)
    assert m.wishes() == 0
    m.to(3900)
    assert m.wishes() == 1


def test_a_target_that_goes_up_is_up():
    m = Machine(Gate)
    set_contact(m, "up", 1)
    m.post("up")
    m.post("z")
    m.to(100)
    set_contact(m, "up", 0)
    m.to(1000)
    assert m.feature.is_in("up")
    assert m.play.faults.count == 0


class Counted(CountedBonus):
    name = "string"
    chart = (
        ("play", "a", None, "count_unit"),
        ("play", "up", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "bonus.counted", "counted", None),
    )


def test_units_that_are_counted_down_are_not_multiplied_by_a_running_factor():
    machine = Machine(Counted)
    for _ in range(3):
        machine.post("a.1")
    machine.play.score.latched = machine.play.score.factor = 2
    machine.post("up")
    machine.to(5000)
    assert machine.play.score.scores[0] == 3 * Counted.per_unit


class Together(Multiball):
    name = "together"
    chart = (("idle", "up", "on", "begin"), ("on", "top", "idle", "finish"))

    def bind(self):
        """There is no trough here."""


class Saving(Together):
    save_seconds = 4


def test_a_multiball_gives_balls_back_for_its_seconds_and_not_at_all_without_any():
    m = Machine(Together)
    m.post("up")
    assert not m.feature.save()
    m = Machine(Saving)
    assert not m.feature.save()
    m.post("up")
    for _ in range(3):
        assert m.feature.save()
    m.play.tilted = True
    assert not m.feature.save()
    m.play.tilted = False
    m.to(3999)
    assert m.feature.save()
    m.to(4000)
    assert not m.feature.save()
    m = Machine(Saving)
    m.post("up")
    m.post("top")
    assert not m.feature.save()


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


class Drops(DropBank):
    name = "drops"
    switches = ("a.1", "a.2")
    reset_coil = "reset"
    pays = (10,)
    chart = (
        ("up", "z", "raising", "begin_raising"),
        ("raising", "raise.drops", None, "raise_targets"),
        ("raising", "check.drops", None, None),
    )


def test_targets_have_failed_when_one_is_down_after_three_tries():
    for part, target in ((Drops, "a.2"), (Gate, "up")):
        m = Machine(part)
        for tries in range(5):
            for down in (0, 1):
                m.feature._tries = tries
                set_contact(m, target, down)
                assert m.feature.failed(0) == bool(down and tries >= 3), (tries, down)
                assert m.feature.may_retry(0) == bool(down and tries < 3), (tries, down)


def test_a_game_without_a_bonus_has_nothing_to_count():
    m = Machine(NoBonus)
    counted = m.play.events.add("bonus.counted")
    m.post("ball.ended")
    assert [row[2] for row in m.records(EVENT)] == [counted]


def test_units_are_twenty_at_most_and_paid_a_thousand_each_every_150_ms():
    m = Machine(Counted)
    for _ in range(25):
        m.post("a.1")
    m.post("up")
    paid = []
    for ms in range(3200):
        m.to(ms)
        if not paid or m.play.score.scores[0] != paid[-1][1]:
            paid.append((ms, m.play.score.scores[0]))
    assert paid == [(150 * i, 1000 * i) for i in range(21)]


class Cells(Bonus):
    name = "cells"
    chart = (
        ("play", "a", None, "count_cell"),
        ("play", "up", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "bonus.counted", "play", None),
    )
    seals = False

    def carries_over(self):
        return self.seals


class Sealed(Cells):
    seals = True


def test_cells_are_a_hundred_and_twenty_at_most_and_a_thousand_each():
    m = Machine(Cells)
    for _ in range(125):
        m.post("a.1")
    assert m.feature.total() == 120_000
    m.post("up")
    m.to(5000)
    assert m.play.score.scores[0] == 120_000
    assert m.feature.carried.value == 0


def test_of_a_bonus_that_is_carried_over_sixty_cells_are_and_no_ball_is_the_last_unless_a_game_says_so():
    m = Machine(Sealed)
    for _ in range(70):
        m.post("a.1")
    m.post("up")
    m.to(9000)
    assert m.play.score.scores[0] == 70_000
    assert m.feature.carried.value == 60


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


def test_a_pulse_of_150_ms_is_the_home_stop_and_a_shorter_one_the_next():
    for length, at in ((149, 1), (150, 0)):
        m = Machine(FourWheel, ODDS)
        m.feature.turn()
        m.play.engine.settle()
        pulse(m, 200)
        pulse(m, length)
        assert m.feature._at == at, length


def test_a_scoop_is_clear_five_hundred_milliseconds_after_a_ball_left_it():
    m = Machine(Gate)
    assert m.feature.is_clear(0)
    m.to(1000)
    m.post("opened.scoop")
    for ms, clear in ((1000, False), (1499, False), (1500, True)):
        m.to(ms)
        assert m.feature.is_clear(0) == clear, ms
        assert m.feature.may_search(True) == clear
    set_contact(m, "scoop", 1)
    m.to(9000)
    assert not m.feature.is_clear(0)
