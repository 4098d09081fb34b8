"""What Honey Flow reports of its own devices: how often each is tried, when, and under which name."""

from game_rig import Played

from firmware.games.honey_flow import game

SETTINGS = {"ball_save": 0, "plunge_after": 0}


def waiting():
    """A game that waits for the ball which the trough is to eject."""
    machine = Played(game, SETTINGS).home()
    machine.close("start", 100)
    machine.open("start", 100)
    return machine


def in_play():
    return Played(game, SETTINGS).home().start().launch("meadow.1")


def pulses(machine, coil):
    """When a coil was pulsed, in ms after the first time."""
    at = [ms for ms, name, _ in machine.coils if name == coil]
    return [ms - at[0] for ms in at]


def faults(machine):
    log = machine.play.faults
    return [(log.name(at), log.numbers(at)[1]) for at in range(log.count)]


def test_a_trough_is_tried_five_times_three_seconds_apart_and_then_reported():
    machine = waiting()
    machine.wait(12_500)
    assert faults(machine) == []
    machine.wait(3000)
    assert pulses(machine, "trough_eject") == [0, 3000, 6000, 9000, 12_000]
    assert faults(machine) == [("trough_stuck", 1)]
    machine.wait(20_000)
    assert len(pulses(machine, "trough_eject")) == 5


def test_a_stuck_trough_is_tried_anew_by_start_and_by_a_ball_that_moves():
    machine = waiting()
    machine.wait(16_000)
    machine.close("start", 100)
    machine.open("start", 15_000)
    assert len(pulses(machine, "trough_eject")) == 10
    assert faults(machine) == [("trough_stuck", 2)]
    machine.open("trough.1", 300)
    machine.close("trough.1", 300)
    machine.wait(1000)
    assert len(pulses(machine, "trough_eject")) == 11
    machine.wait(3000)
    assert len(pulses(machine, "trough_eject")) == 12
    machine.open("trough.3", 300)
    machine.close("lane", 1000)
    assert faults(machine) == [("trough_stuck", 2)]
    assert machine.play.find("trough").is_in("resting")


def test_a_ball_that_the_lane_never_saw_is_reported_and_in_play():
    machine = waiting()
    machine.open("trough.3", 2000)
    assert (faults(machine), machine.play.out) == ([], 0)
    machine.wait(2000)
    assert faults(machine) == [("lane_unseen", 1)]
    assert (machine.play.out, machine.play.free) == (1, 1)
    machine.tap("smoker.1")
    assert machine.play.score.scores[0] == 1000
    assert pulses(machine, "trough_eject") == [0]


def test_a_hive_is_reported_after_five_pulses_in_vain_and_tried_on():
    machine = in_play()
    machine.close("hive.1", 500 + 4 * 700 + 600)
    assert faults(machine) == []
    machine.wait(700)
    assert faults(machine) == [("hive_stuck", 1)]
    assert pulses(machine, "hive_eject")[:6] == [0, 700, 1400, 2100, 2800, 3500]
    machine.wait(3500)
    assert faults(machine) == [("hive_stuck", 1)]
    machine.open("hive.1", 2000)
    tried = len(pulses(machine, "hive_eject"))
    machine.wait(2000)
    assert len(pulses(machine, "hive_eject")) == tried
    machine.close("hive.1", 500 + 5 * 700 + 600)
    assert faults(machine) == [("hive_stuck", 2)]


def test_a_keeper_that_stays_down_is_tried_three_times_and_reported_with_each_visit():
    machine = in_play()
    machine.close("keeper", 11_900)
    assert pulses(machine, "keeper_reset") == []
    machine.wait(2000)
    assert pulses(machine, "keeper_reset") == [0, 580, 1160]  # pulse and rest
    assert faults(machine) == [("gate_stuck", 1)]
    machine.wait(2000)
    assert len(pulses(machine, "keeper_reset")) == 3


def test_a_wheel_without_pulses_is_reported_after_eight_seconds_and_stopped():
    machine = in_play()
    machine.close("keeper", 300)
    machine.tap("queen_cell")
    machine.wait(7500)
    assert faults(machine) == []
    machine.wait(500)
    assert faults(machine) == [("wheel_mute", 1)]


def test_a_ball_that_is_not_found_is_reported_once():
    machine = in_play()
    machine.wait(170_000)
    assert faults(machine)[0] == ("ball_missing", 1)
    assert machine.play.missing == 1


def test_search_pulses_each_coil_of_its_list_three_rounds_three_times():
    machine = in_play()
    before = len(machine.coils)
    machine.wait(14_700)
    assert len(machine.coils) == before
    machine.wait(170_000)
    found = machine.coils[before:]
    first = found[0][0]
    rounds = [(ms - first, name) for ms, name, _ in found if ms - first < 28_000]
    names = [name for _, name in rounds]
    assert names[:9] == [
        "porch_eject",
        "bumper.1",
        "bumper.2",
        "bumper.3",
        "sling.left",
        "sling.right",
        "keeper_reset",
        "auto_plunger",
        "hive_eject",
    ]
    assert names == names[:9] * 3
    assert [ms for ms, _ in rounds] == [250 * i for i in range(27)]
    later = [ms - first for ms, _, _ in found]
    assert [later[27] - later[26], later[54] - later[53]] == [30_250, 30_250]
    assert len([name for _, name, _ in found if name == "porch_eject"]) == 9
