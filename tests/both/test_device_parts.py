"""Parts of the rule kit that drive or watch a mechanism."""

from part_rig import Machine

from firmware.charts.model import ANY
from firmware.parts.drop_bank import DropBank
from firmware.parts.guarded_scoop import GuardedScoop
from firmware.parts.kickback import Kickback
from firmware.parts.lit_outlane import LitOutlane
from firmware.parts.multiball import Multiball
from firmware.parts.wheel import LONG, PATIENCE, Wheel
from firmware.play.claims import NONE, ON
from firmware.play.requests import HOLD, OFF


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


def test_a_target_is_not_tried_again_on_a_ball_that_came_before_the_check():
    m = Machine(Gate)
    set_contact(m, "up", 1)
    m.post("up")
    m.post("z")
    m.to(300)
    assert m.wishes() == 1
    set_contact(m, "scoop", 1)
    m.to(3000)
    assert m.wishes() == 0
    assert m.feature.is_in("raising")
    set_contact(m, "scoop", 0)
    m.post("opened.scoop")
    m.to(3450)
    assert m.wishes() == 0
    m.to(4000)
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
