"""Made by `inlane machine` from host/machine.py: change that file, then run the command again.

Ball routes, shots, keys and windings, which only a host reads. Times are milliseconds.

What is irregular stands in host/routes.py, host/keys.py and host/coils.py: a name there replaces it here.
"""

# fmt: off
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
    ("keeper_reset", 15),
    ("hive_eject", 8),
)

SHOTS = (
    # name, ball from, options (name, least, most, usual, weights when drawn), help, steps
    ("plunge", "lane", (), "pull the plunger", (("leave", "lane"), ("go", "served"))),
    ("bee_1", "playfield", (), "over bee lane 1", (("hit", 400, "bee.1", 30), ("rest", 700, "flipper.left"))),
    (
        "bee_2",
        "playfield",
        (),
        "over bee lane 2",
        (("hit", 400, "bee.2", 30), ("rest", 700, "flipper.right")),
    ),
    (
        "bee_3",
        "playfield",
        (),
        "over bee lane 3",
        (("hit", 400, "bee.3", 30), ("rest", 700, "flipper.right")),
    ),
    (
        "left_orbit",
        "playfield",
        (),
        "left orbit",
        (("hit", 280, "orbit.left", 22), ("rest", 1200, "flipper.left")),
    ),
    (
        "right_orbit",
        "playfield",
        (),
        "right orbit",
        (("hit", 280, "orbit.right", 22), ("rest", 1200, "flipper.left")),
    ),
    (
        "left_ramp",
        "playfield",
        (),
        "up the left ramp and down the right inlane",
        (
            ("place", "ramp_left"),
            ("hit", 240, "ramp_left.enter", 18),
            ("hit", 520, "ramp_left.made", 24),
            ("place", "playfield"),
            ("hit", 900, "inlane.right", 35),
            ("rest", 250, "flipper.right"),
        ),
    ),
    (
        "left_ramp_short",
        "playfield",
        (),
        "part of the way up the left ramp: the ball rolls back",
        (
            ("place", "ramp_left"),
            ("hit", 260, "ramp_left.enter", 30),
            ("move", 350, "ramp_left.bend"),
            ("hit", 450, "ramp_left.enter", 26),
            ("place", "playfield"),
            ("rest", 400, "flipper.right"),
        ),
    ),
    (
        "right_ramp",
        "playfield",
        (),
        "up the right ramp and down the left inlane",
        (
            ("place", "ramp_right"),
            ("hit", 240, "ramp_right.enter", 18),
            ("hit", 520, "ramp_right.made", 24),
            ("place", "playfield"),
            ("hit", 900, "inlane.left", 35),
            ("rest", 250, "flipper.left"),
        ),
    ),
    (
        "right_ramp_short",
        "playfield",
        (),
        "part of the way up the right ramp: the ball rolls back",
        (
            ("place", "ramp_right"),
            ("hit", 260, "ramp_right.enter", 30),
            ("move", 350, "ramp_right.bend"),
            ("hit", 450, "ramp_right.enter", 26),
            ("place", "playfield"),
            ("rest", 400, "flipper.left"),
        ),
    ),
    (
        "smoker_1",
        "playfield",
        (),
        "smoker target 1",
        (("hit", 260, "smoker.1", 9), ("rest", 420, "flipper.right")),
    ),
    (
        "smoker_2",
        "playfield",
        (),
        "smoker target 2",
        (("hit", 250, "smoker.2", 8), ("rest", 420, "flipper.right")),
    ),
    (
        "smoker_3",
        "playfield",
        (),
        "smoker target 3",
        (("hit", 240, "smoker.3", 10), ("rest", 420, "flipper.left")),
    ),
    (
        "frame_1",
        "playfield",
        (),
        "frame target 1",
        (("hit", 260, "frame.1", 9), ("rest", 430, "flipper.left")),
    ),
    (
        "frame_2",
        "playfield",
        (),
        "frame target 2",
        (("hit", 250, "frame.2", 11), ("rest", 430, "flipper.left")),
    ),
    (
        "frame_3",
        "playfield",
        (),
        "frame target 3",
        (("hit", 240, "frame.3", 8), ("rest", 430, "flipper.left")),
    ),
    (
        "frame_4",
        "playfield",
        (),
        "frame target 4",
        (("hit", 230, "frame.4", 10), ("rest", 430, "flipper.right")),
    ),
    ("spot", "playfield", (), "the spot standup", (("hit", 230, "spot", 7), ("rest", 380, "flipper.right"))),
    (
        "meadow_1",
        "playfield",
        (("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1)),),
        "bumper 1",
        (("bounce", 300, ("meadow.1",), 12, 190, "hits"), ("rest", 600, "flipper.left")),
    ),
    (
        "meadow_2",
        "playfield",
        (("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1)),),
        "bumper 2",
        (("bounce", 300, ("meadow.2",), 12, 190, "hits"), ("rest", 600, "flipper.right")),
    ),
    (
        "meadow_3",
        "playfield",
        (("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1)),),
        "bumper 3",
        (("bounce", 300, ("meadow.3",), 12, 190, "hits"), ("rest", 600, "flipper.right")),
    ),
    (
        "left_sling",
        "playfield",
        (),
        "left sling",
        (("hit", 150, "sling.left", 10), ("rest", 350, "flipper.right")),
    ),
    (
        "right_sling",
        "playfield",
        (),
        "right sling",
        (("hit", 150, "sling.right", 10), ("rest", 350, "flipper.left")),
    ),
    (
        "left_inlane",
        "playfield",
        (),
        "down the left inlane",
        (("hit", 300, "inlane.left", 35), ("rest", 250, "flipper.left")),
    ),
    (
        "right_inlane",
        "playfield",
        (),
        "down the right inlane",
        (("hit", 300, "inlane.right", 35), ("rest", 250, "flipper.right")),
    ),
    (
        "left_outlane",
        "playfield",
        (),
        "down the left outlane: drains unless the kickback fires within 200 ms",
        (
            ("hit", 300, "outlane.left", 40),
            ("catch", "kickback", 200, 15, "from_kickback"),
            ("go", "drained"),
        ),
    ),
    (
        "right_outlane",
        "playfield",
        (),
        "down the right outlane",
        (("hit", 300, "outlane.right", 40), ("go", "drained")),
    ),
    (
        "hive",
        "playfield",
        (),
        "into the hive; bounces out when it is full",
        (("move", 300, "hive.mouth"), ("stray", 6, "out_of_hive"), ("enter", 150, "hive", "hive_is_full")),
    ),
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
    ("from_porch", (("place", "playfield"), ("rest", 450, "flipper.left"))),
    ("from_kickback", (("place", "playfield"), ("rest", 900, "flipper.right"))),
    ("to_lane", (("hit", 15, "trough.jam", 45), ("enter", 155, "lane", ""))),
    ("drained", (("place", "trough"), ("move", 250, "drain.middle"), ("enter", 250, "trough", ""))),
    ("from_hive", (("place", "playfield"), ("rest", 450, "flipper.right"))),
    ("out_of_hive", (("hit", 150, "hive.2", 60), ("rest", 400, "flipper.left"))),
    ("hive_is_full", (("rest", 400, "flipper.left"),)),
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
            ("q", "shot", "bee_1", "bee 1"),
            ("w", "shot", "bee_2", "bee 2"),
            ("e", "shot", "bee_3", "bee 3"),
            ("r", "shot", "left_orbit", "left orbit"),
            ("t", "shot", "right_orbit", "right orbit"),
            ("y", "shot", "left_ramp", "left ramp"),
            ("u", "shot", "left_ramp_short", "left ramp short"),
            ("i", "shot", "right_ramp", "right ramp"),
            ("o", "shot", "right_ramp_short", "right ramp short"),
            ("a", "shot", "smoker_1", "smoker 1"),
            ("s", "shot", "smoker_2", "smoker 2"),
            ("d", "shot", "smoker_3", "smoker 3"),
            ("f", "shot", "frame_1", "frame 1"),
            ("g", "shot", "frame_2", "frame 2"),
            ("h", "shot", "frame_3", "frame 3"),
            ("j", "shot", "frame_4", "frame 4"),
            ("l", "shot", "spot", "spot"),
            ("z", "shot", "meadow_1", "meadow 1"),
            ("x", "shot", "meadow_2", "meadow 2"),
            ("c", "shot", "meadow_3", "meadow 3"),
            ("v", "shot", "left_sling", "left sling"),
            ("b", "shot", "right_sling", "right sling"),
            ("n", "shot", "left_inlane", "left inlane"),
            ("1", "shot", "right_inlane", "right inlane"),
            ("2", "shot", "left_outlane", "left outlane"),
            ("3", "shot", "right_outlane", "right outlane"),
            ("4", "shot", "hive", "hive"),
        ),
    ),
)

OPTOS = ()

# volts, ohms of supply and wires, smoothed or not, guarded or not, isolated from the mains or not known
SUPPLY = (48, 0.3, "smoothed", "not guarded", "isolated")

COILS = (
    # name, ohms, mH, AWG, insulation, clamp (zener volts, 0: diode), fuse, s between pulses, W borne
    ("trough_eject", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("auto_plunger", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 10.0),
    ("bumper.1", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 3.0),
    ("bumper.2", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 3.0),
    ("bumper.3", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 3.0),
    ("sling.left", 6.0, 30.0, 25, "F", 22.5, "1.25 slow", 3.0),
    ("sling.right", 6.0, 30.0, 25, "F", 22.5, "1.25 slow", 3.0),
    ("flipper.left.strong", 4.0, 20.0, 23, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.left.hold", 400.0, 2000.0, 34, "F", 22.5, "0.25 slow", 0.0),
    ("flipper.right.strong", 4.0, 20.0, 23, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.right.hold", 400.0, 2000.0, 34, "F", 22.5, "0.25 slow", 0.0),
    ("keeper_reset", 8.0, 40.0, 24, "F", 22.5, "1.25 slow", 10.0),
    ("porch_eject", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("hive_eject", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("kickback", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 10.0),
    ("knocker", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("flash.hive", 480.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.5, 8.0),
    ("flash.jar", 480.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.5, 8.0),
    ("flash.queen", 480.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.5, 8.0),
    ("flash.wax", 480.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.5, 8.0),
    ("wheel_motor", 160.0, 0.0, 0, "A", 22.5, "0.5 slow", 0.0, 20.0),
    ("coin_meter", 400.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.5, 8.0),
    ("coin_lockout", 400.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.0, 8.0),
)
