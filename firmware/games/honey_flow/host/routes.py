"""Where Honey Flow's balls go otherwise than host/machine.py has it. All times are milliseconds.

Closure lengths and speeds are guesses at a real playfield (common practice, no source): a target is
touched for 5-15 ms, a rollover held down for 20-40, a flipper shot needs 200-400 to its first switch.
"""

TURNS = ("turns", 0, 20, 8, (0, 1, 1, 2, 2, 3, 3, 4, 4, 4, 4, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1))
LANE = ("lane", 0, 3, 1, (1, 4, 4, 4))
BUMPS = ("bumps", 0, 12, 0, (2, 4, 5, 5, 4, 3, 2, 1, 1, 1, 1, 1, 1))
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
    ("cell", "playfield", (THROUGH,), "knocks the keeper down; goes in when it is down (through=1: both)", (
        ("latch", 300, "keeper", "into_cell", "through"), ("rest", 450, "flipper.left"))),
    ("right_outlane", "playfield", (), "down the right outlane", (
        ("hit", 300, "outlane.right", 40), ("move", 200, "outlane.right.end"), ("go", "drained"))),
)

ROUTES = (
    # name, steps: parts of shots and what coils start
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
    ("out_of_cell", (
        ("hit", 120, "queen_cell", 45), ("place", "playfield"), ("rest", 500, "flipper.right"))),
    ("from_kickback", (("place", "playfield"), ("move", 200, "kick.top"), ("rest", 700, "flipper.right"))),
)
# fmt: on
