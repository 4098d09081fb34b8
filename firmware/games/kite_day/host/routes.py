"""Where Kite Day's ball goes: literal tables for the plant. All times are milliseconds."""

BALLS = 1
HOME = "outhole"

DEVICES = (
    # name, slots' switches from the exit up, coil, least pulse, leaves after, roll, pass, route out
    ("outhole", ("outhole",), "outhole_kick", 15, 20, 120, 60, "to_lane"),
    ("lane", ("lane", "", ""), "", 15, 15, 20, 10, ""),
    ("updraft", ("updraft",), "updraft_eject", 15, 20, 120, 60, "from_updraft"),
)

LATCHES = (
    # switch that stays closed, coil that raises it, least pulse, open after
    ("tail.1", "tail_reset", 40, 60),
    ("tail.2", "tail_reset", 40, 62),
    ("tail.3", "tail_reset", 40, 65),
    ("tail.4", "tail_reset", 40, 66),
)

FLIPPERS = (
    # strong winding, hold winding, end-of-stroke switch, up in, down in
    ("flipper.left.strong", "flipper.left.hold", "eos.left", 18, 25),
    ("flipper.right.strong", "flipper.right.hold", "eos.right", 18, 25),
)

WEAK = (
    # coil, per cent of its pulses that fail when failures are asked for
    ("outhole_kick", 8),
    ("updraft_eject", 8),
    ("tail_reset", 15),
)

TURNS = ("turns", 0, 20, 8, (1, 1, 1, 2, 2, 3, 3, 4, 4, 4, 4, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1))
LANE = ("lane", 0, 3, 2, (1, 4, 4, 4))
BUMPS = ("bumps", 0, 8, 0, (3, 4, 5, 4, 3, 2, 1, 1, 1))
HITS = ("hits", 1, 8, 1, (2, 3, 3, 2, 2, 1, 1, 1))
ON = ("on", 0, 0, 0, (1,))


def _target(number: int, after: int, closed: int) -> tuple[object, ...]:
    steps = (("latch", after, f"tail.{number}", "past_tail", "on"), ("rest", 420, "flipper.left"))
    return (f"tail_{number}", "playfield", (ON,), f"tail target {number}", steps)


# fmt: off
SHOTS = (
    # name, ball from, options (name, least, most, usual, weights when drawn), help, steps
    ("plunge", "lane", (LANE, BUMPS), "pull the plunger: a breeze lane (lane=0: none), then the thermals", (
        ("leave", "lane"), ("go", "served"))),
    ("short_plunge", "lane", (), "pull the plunger too gently: the ball rolls back into the shooter lane", (
        ("leave", "lane"), ("go", "back_to_lane"))),
    ("reel", "playfield", (TURNS, LANE, BUMPS), "the reel, then over a breeze lane and the thermals", (
        ("spin", 220, "reel", 8, 34, 2, "turns"), ("go", "over_the_lanes"))),
    ("breeze_1", "playfield", (), "over breeze lane 1", (
        ("hit", 400, "breeze.1", 30), ("rest", 700, "flipper.left"))),
    ("breeze_2", "playfield", (), "over breeze lane 2", (
        ("hit", 400, "breeze.2", 30), ("rest", 700, "flipper.right"))),
    ("breeze_3", "playfield", (), "over breeze lane 3", (
        ("hit", 400, "breeze.3", 30), ("rest", 700, "flipper.right"))),
    ("left_thermal", "playfield", (HITS,), "the left thermal", (
        ("bounce", 300, ("thermal.left", "thermal.right"), 12, 190, "hits"), ("rest", 600, "flipper.left"))),
    ("right_thermal", "playfield", (HITS,), "the right thermal", (
        ("bounce", 300, ("thermal.right", "thermal.left"), 12, 190, "hits"), ("rest", 600, "flipper.right"))),
    _target(1, 260, 9),
    _target(2, 250, 8),
    _target(3, 240, 10),
    _target(4, 230, 9),
    ("updraft", "playfield", (), "into the updraft's saucer", (
        ("move", 300, "updraft.rim"), ("stray", 6, "past_updraft"), ("place", "updraft"),
        ("enter", 120, "updraft", "past_updraft"))),
    ("left_return", "playfield", (), "down the left return lane", (
        ("hit", 300, "return.left", 35), ("rest", 250, "flipper.left"))),
    ("right_return", "playfield", (), "down the right return lane", (
        ("hit", 300, "return.right", 35), ("rest", 250, "flipper.right"))),
    ("left_outlane", "playfield", (), "down the left outlane", (
        ("hit", 300, "outlane.left", 40), ("move", 250, "outlane.left.end"), ("go", "drained"))),
    ("right_outlane", "playfield", (), "down the right outlane", (
        ("hit", 300, "outlane.right", 40), ("move", 250, "outlane.right.end"), ("go", "drained"))),
    ("drain", "playfield", (), "down between the flippers", (
        ("move", 250, "drain.middle"), ("go", "drained"))),
)

ROUTES = (
    # name, steps: parts of shots and what coils start
    ("to_lane", (("move", 200, "outhole.out"), ("enter", 300, "lane", ""))),
    ("served", (("stray", 4, "back_to_lane"), ("place", "playfield"), ("move", 450, "lane.top"),
        ("go", "over_the_lanes"))),
    ("back_to_lane", (("move", 350, "lane.middle"), ("enter", 350, "lane", ""))),
    ("over_the_lanes", (("pick", "lane", ("into_thermals", "over_1", "over_2", "over_3")),)),
    ("over_1", (("hit", 420, "breeze.1", 30), ("go", "into_thermals"))),
    ("over_2", (("hit", 380, "breeze.2", 30), ("go", "into_thermals"))),
    ("over_3", (("hit", 340, "breeze.3", 30), ("go", "into_thermals"))),
    ("into_thermals", (
        ("bounce", 260, ("thermal.right", "thermal.left"), 12, 170, "bumps"),
        ("move", 250, "under_thermals"), ("rest", 600, "flipper.left"))),
    ("past_tail", (("move", 120, "tail.behind"), ("rest", 500, "flipper.left"))),
    ("past_updraft", (("place", "playfield"), ("rest", 450, "flipper.right"))),
    ("from_updraft", (("place", "playfield"), ("rest", 450, "flipper.right"))),
    ("drained", (("place", "outhole"), ("move", 250, "outhole.top"), ("enter", 250, "outhole", ""))),
)
# fmt: on
