"""The plant's balls and mechanisms, on Honey Flow's routes and on made-up ones."""

import types

import pytest

from firmware.base.chance import Stream
from firmware.base.errors import GameError, ScriptError
from firmware.games.honey_flow import wiring
from hil import games
from simulator.plant import Plant

routes = games.load("honey_flow").tables("routes")
SWITCHES = [row[0] for row in wiring.SWITCHES]
COILS = [row[0] for row in wiring.COILS]


class Run:
    """A plant, its contact changes with their times, and coils that a test fires."""

    def __init__(self, **options):
        self.plant = Plant(routes, SWITCHES, COILS, options.pop("seed", 1), **options)
        self.log = []
        self.now = 0
        self.plant.start(0)
        self.to(0)
        self.log.clear()

    def to(self, until_ms):
        while (due := self.plant.due()) is not None and due <= until_ms:
            self.log += [(due, *change) for change in self.plant.take(due)]
        self.now = until_ms
        return self

    def on(self, ms):
        return self.to(self.now + ms)

    def coil(self, name, value=30):
        self.plant.coil(name, value, self.now)
        return self

    def shoot(self, shot, **options):
        self.plant.shoot(shot, self.now, **options)
        return self

    def play(self):
        """One ball in play, waiting; the log is empty."""
        self.coil("trough_eject").on(1000).shoot("plunge").on(4000)
        self.log.clear()
        return self

    def closed(self):
        return [name for _, name, closed in self.log if closed]


def places(run):
    return {place: count for place, count in run.plant.places().items() if count}


def test_start_closes_the_contacts_of_the_resting_balls():
    plant = Plant(routes, SWITCHES, COILS, 1)
    plant.start(5)
    assert plant.due() == 5
    assert plant.take(5) == [("trough.1", True), ("trough.2", True), ("trough.3", True)]


def test_eject_moves_the_first_ball_to_the_lane_in_a_quarter_second_and_the_others_roll_down():
    run = Run().coil("trough_eject").on(2000)
    assert places(run) == {"trough": 2, "lane": 1}
    lane = next(ms for ms, name, closed in run.log if name == "lane" and closed)
    assert 230 <= lane <= 270
    assert ("trough.jam", True) in [change[1:] for change in run.log]
    assert [name for name in ("trough.1", "trough.2", "trough.3") if run.plant.contacts.is_closed(name)] == [
        "trough.1",
        "trough.2",
    ]


def test_a_pulse_below_the_least_moves_nothing():
    run = Run().coil("trough_eject", 14).on(2000)
    assert run.log == []
    assert places(run) == {"trough": 3}
    assert places(run.coil("trough_eject", 15).on(2000)) == {"trough": 2, "lane": 1}


def test_a_coil_switched_off_moves_nothing():
    assert Run().coil("trough_eject", 0).on(2000).log == []


def test_a_plunge_goes_over_the_lane_asked_for_then_the_bumpers():
    run = Run().coil("trough_eject").on(1000)
    run.log.clear()
    run.shoot("plunge", lane=3, bumps=2).on(5000)
    assert run.closed() == ["bee.3", "meadow.1", "meadow.3"]
    assert places(run) == {"trough": 2, "playfield": 1}


def test_the_auto_plunger_serves_like_a_plunge():
    run = Run().coil("trough_eject").on(1000).coil("auto_plunger", 35).on(5000)
    assert run.closed()[-1] == "bee.1"
    assert places(run) == {"trough": 2, "playfield": 1}


def test_a_short_plunge_comes_back_to_the_lane():
    run = Run().coil("trough_eject").on(1000)
    run.log.clear()
    run.shoot("short_plunge").on(3000)
    assert [change[1:] for change in run.log] == [("lane", False), ("lane", True)]
    assert places(run)["lane"] == 1


def test_left_orbit_turns_the_spinner_then_closes_the_orbit_then_a_bee_lane():
    run = Run().play().shoot("left_orbit", turns=12, lane=2).on(6000)
    assert run.closed() == ["spinner"] * 12 + ["orbit.left", "bee.2"]


def test_an_orbit_without_turns_still_closes_the_orbit():
    assert Run().play().shoot("left_orbit", turns=0, lane=0).on(6000).closed() == ["orbit.left"]


@pytest.mark.parametrize(
    ("shot", "switches"),
    [
        ("right_orbit", ["orbit.right", "inlane.left"]),
        ("left_ramp", ["ramp_left.enter", "ramp_left.made", "inlane.right"]),
        ("right_ramp", ["ramp_right.enter", "ramp_right.made", "inlane.left"]),
        ("left_ramp_short", ["ramp_left.enter", "ramp_left.enter"]),
        ("smoker_2", ["smoker.2"]),
        ("frame_4", ["frame.4"]),
        ("spot", ["spot"]),
        ("left_sling", ["sling.left"]),
        ("right_inlane", ["inlane.right"]),
    ],
)
def test_a_shot_closes_its_switches_in_order_and_the_ball_waits_again(shot, switches):
    run = Run().play().shoot(shot).on(6000)
    assert run.closed() == switches
    assert run.plant.moving() == 0
    assert places(run)["playfield"] == 1


def test_a_ball_on_a_ramp_is_counted_there_and_made_follows_within_three_seconds():
    run = Run().play().shoot("left_ramp").on(300)
    assert places(run)["ramp_left"] == 1
    run.on(3000)
    at = {name: ms for ms, name, closed in run.log if closed}
    assert 0 < at["ramp_left.made"] - at["ramp_left.enter"] < 3000


def test_playfield_contacts_last_five_to_forty_milliseconds():
    run = Run(varied=True, seed=7).play()
    for name, _ in run.plant.shots():
        if name in ("plunge", "short_plunge", "cell", "hive", "drain", "left_outlane", "right_outlane"):
            continue
        run.shoot(name).on(12000)
    closed_at = {}
    for ms, name, closed in run.log:
        if closed:
            closed_at[name] = ms
        else:
            assert 5 <= ms - closed_at[name] <= 40, name


def test_the_keeper_stays_down_until_its_coil_raises_it():
    run = Run().play().shoot("cell").on(4000)
    assert run.log == [(run.log[0][0], "keeper", True)]
    run.coil("keeper_reset", 39).on(500)
    assert run.plant.contacts.is_closed("keeper")
    run.coil("keeper_reset", 80).on(500)
    assert not run.plant.contacts.is_closed("keeper")


def test_a_second_ball_at_the_open_cell_goes_through_the_tunnel_and_waits_on_the_porch():
    run = Run().play().shoot("cell").on(4000)
    run.log.clear()
    run.shoot("cell").on(500)
    assert places(run)["cell"] == 1
    run.on(1000)
    assert places(run)["tunnel"] == 1
    run.on(60_000)
    assert run.closed() == ["queen_cell", "porch"]
    assert places(run)["porch"] == 1
    run.coil("porch_eject").on(1000)
    assert places(run)["playfield"] == 1
    assert not run.plant.contacts.is_closed("porch")


def test_through_takes_the_keeper_down_and_the_ball_in_at_one_go():
    assert Run().play().shoot("cell", through=1).on(5000).closed() == ["keeper", "queen_cell", "porch"]


def test_the_hive_holds_two_and_a_third_bounces_out():
    run = Run()
    for _ in range(3):
        run.coil("trough_eject").on(1000).shoot("plunge").on(4000).shoot("hive").on(3000)
    assert places(run) == {"hive": 2, "playfield": 1}
    assert run.plant.contacts.is_closed("hive.1")
    assert run.plant.contacts.is_closed("hive.2")
    run.log.clear()
    run.coil("hive_eject").on(2000)
    assert [change[1:] for change in run.log] == [
        ("hive.1", False),
        ("hive.2", False),
        ("hive.1", True),
    ]
    assert places(run) == {"hive": 1, "playfield": 2}


def test_left_outlane_drains_when_the_kickback_is_silent_and_comes_back_when_it_fires():
    run = Run().play().shoot("left_outlane").on(4000)
    assert places(run) == {"trough": 3}
    run = Run().play().shoot("left_outlane").on(320)
    assert run.closed() == ["outlane.left"]
    run.coil("kickback").on(4000)
    assert places(run) == {"trough": 2, "playfield": 1}


def test_a_kickback_that_fires_too_late_or_too_weakly_saves_nothing():
    assert places(Run().play().shoot("left_outlane").on(520).coil("kickback").on(4000)) == {"trough": 3}
    assert places(Run().play().shoot("left_outlane").on(320).coil("kickback", 10).on(4000)) == {"trough": 3}


def test_a_drained_ball_passes_the_upper_trough_contacts_and_rests_lowest():
    run = Run().play()
    run.coil("trough_eject").on(1000).shoot("plunge").on(4000)
    run.log.clear()
    run.shoot("drain").on(3000)
    assert [change[1:] for change in run.log] == [
        ("trough.3", True),
        ("trough.3", False),
        ("trough.2", True),
    ]


def test_several_balls_are_shot_the_longest_waiting_first():
    run = Run().play()
    first = next(ball for ball in run.plant.balls if ball.place == "playfield")
    run.coil("trough_eject").on(1000).shoot("plunge").on(4000)
    run.shoot("left_ramp")
    assert first.route == "left_ramp"
    run.shoot("smoker_1").on(4000)
    assert sorted(run.closed()[-4:]) == ["inlane.right", "ramp_left.enter", "ramp_left.made", "smoker.1"]


def test_a_flipper_closes_its_end_of_stroke_switch_while_it_is_held_up():
    run = Run().coil("flipper.left.strong", 40).coil("flipper.left.hold", -1).on(20)
    assert run.log == [(18, "eos.left", True)]
    run.coil("flipper.left.strong", 0).on(1000)
    assert len(run.log) == 1
    run.coil("flipper.left.hold", 0).on(100)
    assert run.log[1:] == [(1045, "eos.left", False)]


def test_a_flipper_that_nobody_holds_falls_when_its_strong_pulse_is_over():
    run = Run().coil("flipper.right.strong", 40).on(500)
    assert run.log == [(18, "eos.right", True), (65, "eos.right", False)]
    run.coil("flipper.right.hold", -1).on(500)
    assert len(run.log) == 2


def test_unknown_shot_names_the_near_miss():
    with pytest.raises(ScriptError, match="no shot 'left_orbitt'; did you mean 'left_orbit'"):
        Run().shoot("left_orbitt")


def test_wrong_option_and_wrong_value_are_refused():
    run = Run().play()
    with pytest.raises(ScriptError, match="no option 'turn'; did you mean 'turns'"):
        run.shoot("left_orbit", turn=3)
    with pytest.raises(ScriptError, match="turns=21 is out of range, 0 to 20"):
        run.shoot("left_orbit", turns=21)
    with pytest.raises(ScriptError, match="it takes none"):
        run.shoot("left_ramp", turns=2)


def test_a_shot_without_a_waiting_ball_says_where_the_balls_are():
    with pytest.raises(ScriptError, match=r"needs a ball that waits on the playfield \(trough 3\)"):
        Run().shoot("left_ramp")
    with pytest.raises(ScriptError, match="waits on the lane"):
        Run().shoot("plunge")
    run = Run().play().shoot("left_ramp").on(100)
    with pytest.raises(ScriptError, match="still under way: left_ramp"):
        run.shoot("right_ramp")


def test_a_plunge_is_not_given_the_same_ball_twice():
    run = Run().coil("trough_eject").on(1000).shoot("plunge")
    with pytest.raises(ScriptError, match="waits on the lane"):
        run.shoot("plunge")


def test_same_seed_same_contacts_and_another_seed_others():
    def storm(seed):
        run = Run(varied=True, seed=seed).play()
        for _ in range(6):
            run.shoot("left_orbit").on(9000)
        return run.log

    assert storm(3) == storm(3)
    assert storm(3) != storm(4)


@pytest.mark.parametrize("seed", range(8))
def test_no_ball_is_ever_lost_or_doubled_in_a_storm_of_shots_and_coils(seed):
    chance = Stream(seed + 1, 99)
    run = Run(varied=True, failing=True, seed=seed)
    names = [name for name, _ in run.plant.shots()]
    coils = ["trough_eject", "auto_plunger", "porch_eject", "hive_eject", "keeper_reset", "kickback"]
    for _ in range(1500):
        if chance.below(2):
            run.coil(coils[chance.below(len(coils))])
        else:
            try:
                run.shoot(names[chance.below(len(names))])
            except ScriptError:
                pass
        for _ in range(chance.below(4)):
            run.on(chance.below(400))
            assert run.plant.lost == 0
            assert sum(run.plant.places().values()) == 3
    state = dict.fromkeys(SWITCHES, False)
    state.update({"trough.1": True, "trough.2": True, "trough.3": True})
    for _, name, closed in run.log:
        assert state[name] != closed, name
        state[name] = closed
    assert {name for name, closed in state.items() if closed} == {
        name for name in SWITCHES if run.plant.contacts.is_closed(name)
    }


def test_lost_counts_a_ball_that_is_forgotten_and_one_that_is_in_two_places():
    run = Run().play()
    run.plant.devices["trough"].slots[0] = None
    assert run.plant.lost == 1
    run.plant.devices["trough"].slots[0] = run.plant.devices["trough"].slots[1]
    assert run.plant.lost == 2


def test_failing_coils_now_and_then_let_the_ball_hop_and_stay():
    outcomes = []
    for seed in range(40):
        run = Run(failing=True, seed=seed).coil("trough_eject").on(1000)
        hopped = [change[1:] for change in run.log] == [("trough.1", False), ("trough.1", True)]
        assert hopped == (places(run) == {"trough": 3})
        outcomes.append(hopped)
    assert 0 < outcomes.count(True) < 12


def _changed(**tables):
    module = types.ModuleType("made_up")
    module.__dict__.update({name: getattr(routes, name) for name in dir(routes) if name.isupper()})
    module.__dict__.update(tables)
    return module


@pytest.mark.parametrize(
    ("tables", "sentence"),
    [
        ({"HOME": "through"}, "did you mean 'trough'"),
        (
            {"LATCHES": (("keper", "keeper_reset", 40, 60),)},
            "names 'keper', which is not there; did you mean 'keeper'",
        ),
        (
            {"SHOTS": (("a", "playfield", (), "x", (("hti", 1, "spot", 2),)),)},
            "no step 'hti'; did you mean 'hit'",
        ),
        ({"SHOTS": (("a", "playfield", (), "x", (("hit", 1, "spot", 2),)),)}, "as its last step only"),
        ({"SHOTS": (("a", "playfield", (), "x", (("rest", 1),)),)}, "step 'rest' takes ms, point"),
        (
            {"SHOTS": (("a", "playfield", (), "x", (("rest", 1.5, "p"),)),)},
            "1.5 is no time in whole milliseconds",
        ),
        ({"BALLS": 4}, "'trough' has room for 1 to 3"),
        ({"LATCHES": (("keeper",),)}, "LATCHES, row 1 has 1 entries"),
        (
            {"ROUTES": (*routes.ROUTES, ("x", (("pick", "lane", ("over_1",)),)))},
            "option 'lane' is 0 to 3, so pick takes 4 routes",
        ),
    ],
)
def test_wrong_tables_are_refused_in_one_sentence(tables, sentence):
    with pytest.raises(GameError, match=sentence):
        Plant(_changed(**tables), SWITCHES, COILS, 1)
