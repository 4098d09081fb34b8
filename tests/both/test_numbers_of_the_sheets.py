"""Points and other numbers of the games' rules stand in their rule sheets, each in its own phrase."""

from rule_sheets import commas, words

from firmware.console import Console
from firmware.games.honey_flow import game as honey_flow
from firmware.games.kit_room import game as kit_room
from firmware.games.kite_day import game as kite_day

AWARDS = {
    "honey_flow": (
        ("Bumper # · ", "small.bumper"),
        (" · sling # · ", "small.sling"),
        (" · spinner # a turn", "small.spinner"),
        (" · standup # · ", "small.standup"),
        (" · bee lane # · ", "small.bee_lane"),
        (" · inlane # · ", "small.inlane"),
        (" · outlane #. ", "small.outlane"),
        ("Ramp made #, ", "small.ramp"),
        (", orbit #, ", "small.orbit"),
        (", scoop # *when", "small.scoop"),
        (" = the flashing lane: # × flight number", "spring_flight.landed"),
        ("All three lit: #, lanes dark", "bee_lanes.complete"),
        ("the first time in a player's game #.", "bee_lanes.first_full"),
        ("With the multiplier at 6×: # instead", "bee_lanes.full"),
        ("All three: #, bank dark", "smoker_bank.complete"),
        ("Wax Ladder. # · ", "wax_ladder.rung_1"),
        (" · # · 90,000", "wax_ladder.rung_2"),
        ("40,000 · # · ", "wax_ladder.rung_3"),
        ("90,000 · # · ", "wax_ladder.rung_4"),
        ("200,000 · #. The first shot", "wax_ladder.rung_5"),
        ("odd # and the seal", "frames_bank.odd"),
        ("even # and the lock", "frames_bank.even"),
        ("`orbit.left` #; right ramp", "waggle.first"),
        ("right ramp within 12 s #;", "waggle.second"),
        ("eight stops: # · ", "queens_cell.stop_1"),
        ("5,000 · # · 25,000", "queens_cell.stop_2"),
        ("10,000 · # · 50,000", "queens_cell.stop_3"),
        ("25,000 · # · 100,000", "queens_cell.stop_4"),
        ("50,000 · # · brood", "queens_cell.stop_5"),
        ("a ball in the hive: #, the ball is held", "hive_lock.ball_held"),
        ("First left ramp: the jar; later ones #.", "swarm.left_ramp"),
        ("and pay # when they are collected", "extra_ball.instead"),
        ("Lit again while lit: #.", "extra_ball.lit_again"),
        ("Special. # points, a credit", "special.points"),
    ),
    "kite_day": (
        ("Breeze lane # · ", "small.breeze"),
        (" · tail target # · ", "small.tail"),
        (" · thermal #, or", "small.thermal"),
        (" · return lane # · ", "small.return"),
        (" · outlane #. ", "small.outlane"),
        ("All three: #, inserts dark", "breeze_lanes.complete"),
        ("Reel. # a turn", "reel_out.turn"),
        ("restarts the 10 s: # a turn", "reel_out.lit_turn"),
        ("(setting), # beyond", "extra_ball.instead"),
        ("a credit, # or an extra ball", "special.points"),
    ),
    "kit_room": (("of the one before: #, and from", "filing.done"),),
}
PARTS = (
    # game, feature, the number in it, phrase
    (honey_flow, "honey_jar", lambda it: it._jar.cap, "a bee lane, at most #; won:"),
    (honey_flow, "honey_jar", lambda it: it._jar.floor, "start raised to #. Never"),
    (honey_flow, "pollen_run", lambda it: it._pollen.step, ", +# a bumper, at most"),
    (honey_flow, "pollen_run", lambda it: it._pollen.cap, "a bumper, at most #. `inlane"),
    (honey_flow, "pollen_run", lambda it: it._pollen.worth(), "Pollen Run. # at each ball"),
    (honey_flow, "nectar_flow", lambda it: it._twice._cap // 1000, "never above # s."),
    (honey_flow, "end_bonus", lambda it: it.per_cell, "End-of-ball bonus. # × (cells"),
    (honey_flow, "end_bonus", lambda it: it.cap, "(cells, at most #, plus kept"),
    (honey_flow, "end_bonus", lambda it: it.carry_cap, "up to # of its cells are kept"),
    (honey_flow, "bee_lanes", lambda it: it.multiplier.top, "multiplier +1 up to #×."),
    (honey_flow, "hive_lock", lambda it: it.lock.wanted, "with # held (or"),
    (kite_day, "height", lambda it: it._height.worth(), "Height. # at each ball"),
    (kite_day, "height", lambda it: it._height.cap, "each breeze lane, at most #; inserts"),
    (kite_day, "string", lambda it: it.most, "outlane, at most #; inserts"),
    (kite_day, "string", lambda it: it.per_unit, "each unit pays # times"),
    (kit_room, "rush", lambda it: it._rush.start, "Rush. `saw` starts #, which"),
    (kit_room, "rush", lambda it: it._rush.floor, "which falls to # in 16 s"),
    (kit_room, "chain", lambda it: it._combo._base, "the second shot #, each"),
    (kit_room, "chain", lambda it: it._combo._step, "further one # more"),
    (kit_room, "wages", lambda it: it.per_cell, "Wages. # for each target"),
    (kit_room, "wages", lambda it: it.cap, "in the ball, at most #, when"),
)
NUMBER_WORDS = {2: "two"}


def test_every_award_with_points_of_its_own_stands_in_its_phrase():
    for game in (honey_flow, kite_day, kit_room):
        sheet = words(game.NAME)
        score = Console(game).play.score
        points = {score.name(i): score.awards[i].points for i in range(len(score.awards))}
        told = AWARDS[game.NAME]
        for phrase, award in told:
            assert phrase.replace("#", commas(points[award])) in sheet, (phrase, points[award])
        assert sorted([name for name in points if points[name]]) == sorted([award for _, award in told])


def test_numbers_that_parts_are_made_with_stand_in_their_phrases():
    for game in (honey_flow, kite_day, kit_room):
        sheet = words(game.NAME)
        play = Console(game).play
        for of, feature, number, phrase in PARTS:
            if of is game:
                n = number(play.find(feature))
                told = NUMBER_WORDS.get(n, commas(n))
                assert phrase.replace("#", told) in sheet, (feature, phrase, n)


def test_odds_of_the_wheel_and_of_the_gold_cell_are_those_of_the_sheet():
    sheet = words("honey_flow")
    play = Console(honey_flow).play
    odds = play.find("wheel").odds
    for i in range(3):
        told = ("roomy", "even", "tight")[i] + " " + " ".join([str(n) for n in odds[i]])
        assert told in sheet, told
        assert sum(odds[i]) == 100
    gold = play.find("gold_cell")
    assert "(weights " + " : ".join([str(n) for n in gold.weights]) + ")" in sheet
    assert "One of the " + ", ".join([str(gold.first + i) + "×" for i in range(3)]) in sheet
    topped = play.find("wax_ladder")._ladder
    assert [ms // 1000 for ms in topped._windows + topped._hard] == [18, 9, 12, 6]


def test_what_a_kit_room_s_plunge_pays_is_that_of_the_sheet():
    plunge = Console(kit_room).play.find("plunge")._plunge
    sheet = words("kit_room")
    for i in range(3):
        assert "`land." + str(i + 1) + "` " + commas(plunge._worth[i]) in sheet
    assert commas(plunge._step) + " more for each plunge" in sheet
    assert commas(plunge._step * (plunge._most - 1)) + " more at most" in sheet
