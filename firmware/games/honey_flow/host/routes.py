"""Where Honey Flow's balls go: literal tables for the plant. All times are milliseconds.

Closure lengths and speeds are guesses at a real playfield (common practice, no source): a target is
touched for 5-15 ms, a rollover held down for 20-40, a flipper shot needs 200-400 to its first switch.
"""

BALLS = 3
HOME = "trough"

DEVICES = (
    # name, slots' switches from the exit up, coil, least pulse, leaves after, roll, pass, route out
    ("trough", ("trough.1", "trough.2", "trough.3"), "trough_eject", 15, 20, 120, 60, "to_lane"),
    ("lane", ("lane", "", ""), "auto_plunger", 15, 15, 20, 10, "served"),
    ("porch", ("porch", "", ""), "porch_eject", 15, 20, 120, 60, "from_porch"),
    ("hive", ("hive.1", "hive.2"), "hive_eject", 15, 20, 150, 60, "from_hive"),
)

LATCHES = (
    # switch that stays closed, coil that raises it, least pulse, open after
    ("keeper", "keeper_reset", 40, 60),
)

FLIPPERS = (
    # strong winding, hold winding, end-of-stroke switch, up in, down in
    ("flipper.left.strong", "flipper.left.hold", "eos.left", 18, 25),
    ("flipper.right.strong", "flipper.right.hold", "eos.right", 18, 25),
)

WHEELS = (
    # motor, index switch, stops, stands at, ms from stop to stop, pulse, pulse at home (stop 0)
    ("wheel_motor", "wheel.index", 8, 3, 300, 60, 200),
)

WEAK = (
    # coil, per cent of its pulses that fail when failures are asked for
    ("trough_eject", 8),
    ("auto_plunger", 5),
    ("porch_eject", 8),
    ("hive_eject", 8),
    ("keeper_reset", 15),
)

TURNS = ("turns", 0, 20, 8, (0, 1, 1, 2, 2, 3, 3, 4, 4, 4, 4, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1))
LANE = ("lane", 0, 3, 1, (1, 4, 4, 4))
BUMPS = ("bumps", 0, 12, 0, (2, 4, 5, 5, 4, 3, 2, 1, 1, 1, 1, 1, 1))
HITS = ("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1))
THROUGH = ("through", 0, 1, 0, (1, 0))

# fmt: off
SHOTS = (
    # name, ball from, options (name, least, most, usual, weights when drawn), help, steps
    ("plunge", "lane", (LANE, BUMPS), "pull the plunger: over a bee lane (lane=0: none), then the bumpers", (
        ("leave", "lane"), ("go", "over_the_top"))),
    ("short_plunge", "lane", (), "pull the plunger too gently: the ball rolls back into the shooter lane", (
        ("leave", "lane"), ("move", 350, "lane.top"), ("enter", 350, "lane", ""))),
    ("left_orbit", "playfield", (TURNS, LANE, BUMPS), "spinner, left orbit, a bee lane, the bumpers", (
        ("spin", 220, "spinner", 8, 34, 2, "turns"), ("hit", 90, "orbit.left", 25),
        ("go", "over_the_lanes"))),
    ("right_orbit", "playfield", (), "right orbit, then round the top and down the left inlane", (
        ("hit", 280, "orbit.right", 22), ("move", 500, "orbit.top"), ("hit", 700, "inlane.left", 35),
        ("rest", 250, "flipper.left"))),
    ("left_ramp", "playfield", (), "up the left ramp and down the right inlane", (
        ("place", "ramp_left"), ("hit", 240, "ramp_left.enter", 18), ("hit", 520, "ramp_left.made", 24),
        ("place", "playfield"), ("hit", 900, "inlane.right", 35), ("rest", 250, "flipper.right"))),
    ("right_ramp", "playfield", (), "up the right ramp and down the left inlane", (
        ("place", "ramp_right"), ("hit", 240, "ramp_right.enter", 18),
        ("hit", 520, "ramp_right.made", 24), ("place", "playfield"), ("hit", 900, "inlane.left", 35),
        ("rest", 250, "flipper.left"))),
    ("left_ramp_short", "playfield", (), "part of the way up the left ramp: the ball rolls back", (
        ("place", "ramp_left"), ("hit", 260, "ramp_left.enter", 30), ("move", 350, "ramp_left.bend"),
        ("hit", 450, "ramp_left.enter", 26), ("place", "playfield"), ("rest", 400, "flipper.right"))),
    ("right_ramp_short", "playfield", (), "part of the way up the right ramp: the ball rolls back", (
        ("place", "ramp_right"), ("hit", 260, "ramp_right.enter", 30), ("move", 350, "ramp_right.bend"),
        ("hit", 450, "ramp_right.enter", 26), ("place", "playfield"), ("rest", 400, "flipper.left"))),
    ("smoker_1", "playfield", (), "smoker target 1", (
        ("hit", 260, "smoker.1", 9), ("rest", 420, "flipper.right"))),
    ("smoker_2", "playfield", (), "smoker target 2", (
        ("hit", 250, "smoker.2", 8), ("rest", 420, "flipper.right"))),
    ("smoker_3", "playfield", (), "smoker target 3", (
        ("hit", 240, "smoker.3", 10), ("rest", 420, "flipper.left"))),
    ("frame_1", "playfield", (), "frame target 1", (
        ("hit", 260, "frame.1", 9), ("rest", 430, "flipper.left"))),
    ("frame_2", "playfield", (), "frame target 2", (
        ("hit", 250, "frame.2", 11), ("rest", 430, "flipper.left"))),
    ("frame_3", "playfield", (), "frame target 3", (
        ("hit", 240, "frame.3", 8), ("rest", 430, "flipper.left"))),
    ("frame_4", "playfield", (), "frame target 4", (
        ("hit", 230, "frame.4", 10), ("rest", 430, "flipper.right"))),
    ("spot", "playfield", (), "the spot standup", (
        ("hit", 230, "spot", 7), ("rest", 380, "flipper.right"))),
    ("cell", "playfield", (THROUGH,), "knocks the keeper down; goes in when it is down (through=1: both)", (
        ("latch", 300, "keeper", "into_cell", "through"), ("rest", 450, "flipper.left"))),
    ("hive", "playfield", (), "into the hive; bounces out when it is full", (
        ("move", 300, "hive.mouth"), ("stray", 6, "out_of_hive"), ("enter", 150, "hive", "hive_is_full"))),
    ("bee_1", "playfield", (), "over bee lane 1", (
        ("hit", 400, "bee.1", 30), ("rest", 700, "flipper.left"))),
    ("bee_2", "playfield", (), "over bee lane 2", (
        ("hit", 400, "bee.2", 30), ("rest", 700, "flipper.right"))),
    ("bee_3", "playfield", (), "over bee lane 3", (
        ("hit", 400, "bee.3", 30), ("rest", 700, "flipper.right"))),
    ("meadow_1", "playfield", (HITS,), "bumper 1", (
        ("bounce", 300, ("meadow.1",), 12, 190, "hits"), ("rest", 600, "flipper.left"))),
    ("meadow_2", "playfield", (HITS,), "bumper 2", (
        ("bounce", 300, ("meadow.2",), 12, 190, "hits"), ("rest", 600, "flipper.right"))),
    ("meadow_3", "playfield", (HITS,), "bumper 3", (
        ("bounce", 300, ("meadow.3",), 12, 190, "hits"), ("rest", 600, "flipper.right"))),
    ("left_sling", "playfield", (), "left sling", (
        ("hit", 150, "sling.left", 10), ("rest", 350, "flipper.right"))),
    ("right_sling", "playfield", (), "right sling", (
        ("hit", 150, "sling.right", 10), ("rest", 350, "flipper.left"))),
    ("left_inlane", "playfield", (), "down the left inlane", (
        ("hit", 300, "inlane.left", 35), ("rest", 250, "flipper.left"))),
    ("right_inlane", "playfield", (), "down the right inlane", (
        ("hit", 300, "inlane.right", 35), ("rest", 250, "flipper.right"))),
    ("left_outlane", "playfield", (),
        "down the left outlane: drains unless the kickback fires within 200 ms", (
        ("hit", 300, "outlane.left", 40), ("catch", "kickback", 200, 15, "from_kickback"),
        ("go", "drained"))),
    ("right_outlane", "playfield", (), "down the right outlane", (
        ("hit", 300, "outlane.right", 40), ("move", 200, "outlane.right.end"), ("go", "drained"))),
    ("drain", "playfield", (), "down between the flippers", (
        ("move", 250, "drain.middle"), ("go", "drained"))),
)

ROUTES = (
    # name, steps: parts of shots and what coils start
    ("to_lane", (("hit", 15, "trough.jam", 45), ("enter", 155, "lane", ""))),
    ("served", (("stray", 4, "back_to_lane"), ("place", "playfield"), ("go", "over_the_top"))),
    ("back_to_lane", (("move", 350, "lane.top"), ("enter", 350, "lane", ""))),
    ("over_the_top", (("place", "playfield"), ("move", 450, "lane.top"), ("go", "over_the_lanes"))),
    ("over_the_lanes", (("pick", "lane", ("into_bumpers", "over_1", "over_2", "over_3")),)),
    ("over_1", (("hit", 420, "bee.1", 30), ("go", "into_bumpers"))),
    ("over_2", (("hit", 380, "bee.2", 30), ("go", "into_bumpers"))),
    ("over_3", (("hit", 340, "bee.3", 30), ("go", "into_bumpers"))),
    ("into_bumpers", (
        ("bounce", 260, ("meadow.1", "meadow.3", "meadow.2"), 12, 170, "bumps"),
        ("move", 250, "under_bumpers"), ("rest", 600, "flipper.left"))),
    ("into_cell", (
        ("place", "cell"), ("stray", 6, "out_of_cell"), ("hit", 120, "queen_cell", 800),
        ("move", 800, "cell.back"), ("place", "tunnel"), ("move", 700, "porch.top"),
        ("enter", 100, "porch", ""))),
    ("from_porch", (("place", "playfield"), ("rest", 450, "flipper.left"))),
    ("from_hive", (("place", "playfield"), ("rest", 450, "flipper.right"))),
    ("out_of_cell", (
        ("hit", 120, "queen_cell", 45), ("place", "playfield"), ("rest", 500, "flipper.right"))),
    ("out_of_hive", (("hit", 150, "hive.2", 60), ("rest", 400, "flipper.left"))),
    ("hive_is_full", (("rest", 400, "flipper.left"),)),
    ("from_kickback", (("place", "playfield"), ("move", 200, "kick.top"), ("rest", 700, "flipper.right"))),
    ("drained", (("place", "trough"), ("move", 250, "drain.middle"), ("enter", 250, "trough", ""))),
)
# fmt: on
