"""Made by `inlane machine` from host/machine.py: change that file, then run the command again.

Ball routes, shots, keys and windings, which only a host reads. Times are milliseconds.

What is irregular stands in host/routes.py, host/keys.py and host/coils.py: a name there replaces it here.
"""

# fmt: off
BALLS = 1
HOME = "outhole"

DEVICES = (
    # name, slots' switches from the exit up, coil, least pulse, leaves after, roll, pass, route out
    ("outhole", ("outhole",), "outhole_kick", 15, 20, 120, 60, "to_lane"),
    ("lane", ("lane",), "", 15, 15, 20, 10, "served"),
    ("updraft", ("updraft",), "updraft_eject", 15, 20, 120, 60, "from_updraft"),
)

LATCHES = (
    # switch that stays closed, coil that raises it, least pulse, open after
    ("tail.1", "tail_reset", 40, 60),
    ("tail.2", "tail_reset", 40, 60),
    ("tail.3", "tail_reset", 40, 60),
    ("tail.4", "tail_reset", 40, 60),
)

FLIPPERS = (
    # strong winding, hold winding, end-of-stroke switch, up in, down in
    ("flipper.left.strong", "flipper.left.hold", "eos.left", 18, 25),
    ("flipper.right.strong", "flipper.right.hold", "eos.right", 18, 25),
)

WHEELS = ()

WEAK = (
    # coil, per cent of its pulses that fail when failures are asked for
    ("outhole_kick", 8),
    ("updraft_eject", 8),
    ("tail_reset", 15),
)

SHOTS = (
    # name, ball from, options (name, least, most, usual, weights when drawn), help, steps
    ("plunge", "lane", (), "pull the plunger", (("leave", "lane"), ("go", "served"))),
    (
        "breeze_1",
        "playfield",
        (),
        "over breeze lane 1",
        (("hit", 400, "breeze.1", 30), ("rest", 700, "flipper.left")),
    ),
    (
        "breeze_2",
        "playfield",
        (),
        "over breeze lane 2",
        (("hit", 400, "breeze.2", 30), ("rest", 700, "flipper.right")),
    ),
    (
        "breeze_3",
        "playfield",
        (),
        "over breeze lane 3",
        (("hit", 400, "breeze.3", 30), ("rest", 700, "flipper.right")),
    ),
    (
        "left_thermal",
        "playfield",
        (("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1)),),
        "bumper 1",
        (("bounce", 300, ("thermal.left",), 12, 190, "hits"), ("rest", 600, "flipper.left")),
    ),
    (
        "right_thermal",
        "playfield",
        (("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1)),),
        "bumper 2",
        (("bounce", 300, ("thermal.right",), 12, 190, "hits"), ("rest", 600, "flipper.left")),
    ),
    (
        "reel",
        "playfield",
        (("turns", 0, 20, 8, (0, 1, 1, 2, 2, 3, 3, 4, 4, 4, 4, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1)),),
        "through the reel",
        (("spin", 220, "reel", 8, 34, 2, "turns"), ("rest", 700, "flipper.right")),
    ),
    (
        "left_return",
        "playfield",
        (),
        "down the left return lane",
        (("hit", 300, "return.left", 35), ("rest", 250, "flipper.left")),
    ),
    (
        "right_return",
        "playfield",
        (),
        "down the right return lane",
        (("hit", 300, "return.right", 35), ("rest", 250, "flipper.right")),
    ),
    (
        "left_outlane",
        "playfield",
        (),
        "down the left outlane",
        (("hit", 300, "outlane.left", 40), ("go", "drained")),
    ),
    (
        "right_outlane",
        "playfield",
        (),
        "down the right outlane",
        (("hit", 300, "outlane.right", 40), ("go", "drained")),
    ),
    ("tail_1", "playfield", (), "tail 1", (("drop", 250, "tail.1"), ("rest", 400, "flipper.left"))),
    ("tail_2", "playfield", (), "tail 2", (("drop", 250, "tail.2"), ("rest", 400, "flipper.left"))),
    ("tail_3", "playfield", (), "tail 3", (("drop", 250, "tail.3"), ("rest", 400, "flipper.left"))),
    ("tail_4", "playfield", (), "tail 4", (("drop", 250, "tail.4"), ("rest", 400, "flipper.left"))),
    (
        "drain",
        "playfield",
        (),
        "down between the flippers",
        (("move", 250, "drain.middle"), ("go", "drained")),
    ),
)

ROUTES = (
    # name, steps: parts of shots and what coils start
    ("from_updraft", (("place", "playfield"), ("rest", 450, "flipper.right"))),
    ("to_lane", (("enter", 170, "lane", ""),)),
    ("drained", (("place", "outhole"), ("move", 250, "drain.middle"), ("enter", 250, "outhole", ""))),
    ("served", (("place", "playfield"), ("rest", 900, "flipper.right"))),
)

KEYS = (
    # heading, ((key, "switch", "latch" or "shot", name, label), ...)
    (
        "cabinet",
        (
            ("left shift", "switch", "button.left", "left flipper"),
            ("right shift", "switch", "button.right", "right flipper"),
            ("return", "switch", "start", "start"),
            ("insert", "switch", "coin.1", "coin"),
            ("tab", "switch", "tilt", "tilt bob"),
            ("delete", "switch", "slam", "slam"),
        ),
    ),
    (
        "coin door and service pad",
        (
            ("f4", "latch", "door", "coin door open"),
            ("f5", "switch", "pad.leave", "leave"),
            ("f6", "switch", "pad.less", "less"),
            ("f7", "switch", "pad.more", "more"),
            ("f8", "switch", "pad.open", "open"),
            ("f9", "latch", "service_key", "service key"),
        ),
    ),
    ("plunger and drain", (("space", "shot", "plunge", "plunge"), ("backspace", "shot", "drain", "drain"))),
    (
        "shots",
        (
            ("q", "shot", "breeze_1", "breeze 1"),
            ("w", "shot", "breeze_2", "breeze 2"),
            ("e", "shot", "breeze_3", "breeze 3"),
            ("r", "shot", "left_thermal", "left thermal"),
            ("t", "shot", "right_thermal", "right thermal"),
            ("y", "shot", "reel", "reel"),
            ("u", "shot", "left_return", "left return"),
            ("i", "shot", "right_return", "right return"),
            ("o", "shot", "left_outlane", "left outlane"),
            ("a", "shot", "right_outlane", "right outlane"),
            ("s", "shot", "tail_1", "tail 1"),
            ("d", "shot", "tail_2", "tail 2"),
            ("f", "shot", "tail_3", "tail 3"),
            ("g", "shot", "tail_4", "tail 4"),
        ),
    ),
)

OPTOS = ()

# volts, ohms of supply and wires, smoothed or not, guarded or not, isolated from the mains or not known
SUPPLY = (36, 0.3, "smoothed", "not guarded", "isolated")

COILS = (
    # name, ohms at 20 °C, mH, AWG, insulation class, clamp (zener volts, 0: diode), fuse, s between pulses
    ("outhole_kick", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("updraft_eject", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("tail_reset", 6.0, 30.0, 23, "F", 22.5, "1.25 slow", 10.0),
    ("thermal.left", 4.0, 20.0, 24, "F", 22.5, "1.25 slow", 3.0),
    ("thermal.right", 4.0, 20.0, 24, "F", 22.5, "1.25 slow", 3.0),
    ("flipper.left.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.left.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("flipper.right.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.right.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("chime.low", 12.0, 40.0, 26, "F", 22.5, "0.63 slow", 0.5),
    ("chime.middle", 12.0, 40.0, 26, "F", 22.5, "0.63 slow", 0.5),
    ("chime.high", 12.0, 40.0, 26, "F", 22.5, "0.63 slow", 0.5),
)
