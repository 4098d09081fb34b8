"""The pond's tables written by hand, as they are without a machine file: wiring, routes, keys, windings."""

# wiring.py

SWITCHES = (
    ("pool.1", "rollover", "playfield", 1, 1),
    ("pool.2", "rollover", "playfield", 1, 2),
    ("pool.3", "rollover", "playfield", 1, 3),
    ("spinner", "spinner", "playfield", 1, 4),
    ("buoy.1", "target", "playfield", 1, 5),
    ("buoy.2", "target", "playfield", 1, 6),
    ("buoy.3", "target", "playfield", 1, 7),
    ("buoy.4", "target", "playfield", 1, 8),
    ("trough.1", "rest", "device", 2, 3),
    ("trough.2", "rest", "device", 2, 4),
    ("trough.3", "rest", "device", 2, 5),
    ("trough.jam", "rest", "device", 2, 6),
    ("lane", "lane", "device", 2, 7),
    ("saucer", "rest", "device", 2, 8),
    ("button.left", "flipper", "cabinet", 0, 1),
    ("button.right", "flipper", "cabinet", 0, 2),
    ("eos.left", "flipper", "cabinet", 0, 3),
    ("eos.right", "flipper", "cabinet", 0, 4),
    ("start", "service", "cabinet", 0, 5),
    ("coin.1", "coin", "cabinet", 0, 6),
    ("coin.2", "coin", "cabinet", 0, 7),
    ("tilt", "tilt", "cabinet", 0, 8),
    ("slam", "tilt", "cabinet", 0, 9),
    ("door", "service", "cabinet", 0, 10),
    ("pad.leave", "service", "cabinet", 0, 11),
    ("pad.less", "service", "cabinet", 0, 12),
    ("pad.more", "service", "cabinet", 0, 13),
    ("pad.open", "service", "cabinet", 0, 14),
    ("service_key", "service", "cabinet", 0, 15),
)

LAMPS = (
    ("pool.1", "blue", 1, 1),
    ("pool.2", "blue", 1, 2),
    ("pool.3", "blue", 1, 3),
    ("spinner", "amber", 1, 4),
    ("start", "white", 1, 5),
    ("again", "white", 1, 6),
    ("tilt", "white", 1, 7),
    ("whirl", "amber", 1, 8),
    ("buoy.1", "red", 2, 1),
    ("buoy.2", "red", 2, 2),
    ("buoy.3", "red", 2, 3),
    ("buoy.4", "red", 2, 4),
    ("saucer", "white", 2, 5),
    ("rollover", "white", 2, 6),
)

COILS = (
    ("trough_eject", "queued", 30, 60, 300, 1),
    ("auto_plunger", "queued", 35, 60, 500, 2),
    ("flipper.left.strong", "flipper", 40, 60, 10, 5),
    ("flipper.left.hold", "flipper", -1, 0, 0, 6),
    ("flipper.right.strong", "flipper", 40, 60, 10, 7),
    ("flipper.right.hold", "flipper", -1, 0, 0, 8),
    ("knocker", "queued", 30, 50, 200, 9),
    ("coin_meter", "meter", 60, 120, 120, 10),
    ("saucer_eject", "queued", 30, 60, 300, 11),
)

HEAT = (
    ("trough_eject", 5714, 15411, 5),
    ("auto_plunger", 10909, 9725, 2),
    ("flipper.left.strong", 10909, 15479, 2),
    ("flipper.left.hold", 160, 0, 100),
    ("flipper.right.strong", 10909, 15479, 2),
    ("flipper.right.hold", 160, 0, 100),
    ("knocker", 5714, 15411, 5),
    ("saucer_eject", 5714, 15411, 5),
)

SUPPLY_MA = 36000
COIL_VOLTS_LOW_MV = 25200

REFLEXES = ()

FLIPPERS = (
    ("button.left", "eos.left", "flipper.left.strong", "flipper.left.hold", 40),
    ("button.right", "eos.right", "flipper.right.strong", "flipper.right.hold", 40),
)

SEARCH = (
    ("auto_plunger", 1, ""),
    ("saucer_eject", 1, ""),
)

TROUGH = ("trough.1", "trough.2", "trough.3")
BALLS = 3

# host/routes.py

HOME = "trough"

DEVICES = (
    ("trough", ("trough.1", "trough.2", "trough.3"), "trough_eject", 15, 20, 120, 60, "to_lane"),
    ("lane", ("lane", "", ""), "auto_plunger", 15, 15, 20, 10, "served"),
    ("saucer", ("saucer",), "saucer_eject", 15, 20, 120, 60, "from_saucer"),
)

LATCHES = ()

BATS = (
    ("flipper.left.strong", "flipper.left.hold", "eos.left", 18, 25),
    ("flipper.right.strong", "flipper.right.hold", "eos.right", 18, 25),
)

WEAK = (
    ("trough_eject", 8),
    ("auto_plunger", 5),
    ("saucer_eject", 8),
)

POOL = ("pool", 0, 3, 1, (1, 2, 2, 2))
TURNS = ("turns", 0, 20, 8, (0, 1, 1, 2, 2, 3, 3, 4, 4, 4, 4, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1))

# fmt: off
SHOTS = (
    ("plunge", "lane", (POOL,), "pull the plunger: over a pool lane (pool=0: past them all)", (
        ("leave", "lane"), ("go", "served"))),
    ("spinner", "playfield", (TURNS,), "through the spinner", (
        ("spin", 220, "spinner", 8, 34, 2, "turns"), ("rest", 700, "flipper.right"))),
    ("buoy_1", "playfield", (), "buoy 1", (("hit", 250, "buoy.1", 12), ("rest", 400, "flipper.left"))),
    ("buoy_2", "playfield", (), "buoy 2", (("hit", 250, "buoy.2", 12), ("rest", 400, "flipper.left"))),
    ("buoy_3", "playfield", (), "buoy 3", (("hit", 250, "buoy.3", 12), ("rest", 400, "flipper.left"))),
    ("buoy_4", "playfield", (), "buoy 4", (("hit", 250, "buoy.4", 12), ("rest", 400, "flipper.left"))),
    ("saucer", "playfield", (), "into the saucer; bounces out when it is full", (
        ("move", 300, "saucer.mouth"), ("stray", 6, "out_of_saucer"),
        ("enter", 150, "saucer", "saucer_is_full"))),
    ("drain", "playfield", (), "down between the flippers", (
        ("move", 250, "drain.middle"), ("go", "drained"))),
)

ROUTES = (
    ("to_lane", (("hit", 15, "trough.jam", 45), ("enter", 155, "lane", ""))),
    ("served", (("place", "playfield"), ("pick", "pool", ("nowhere", "pool_1", "pool_2", "pool_3")))),
    ("nowhere", (("rest", 700, "flipper.right"),)),
    ("pool_1", (("hit", 400, "pool.1", 30), ("rest", 700, "flipper.left"))),
    ("pool_2", (("hit", 450, "pool.2", 30), ("rest", 700, "flipper.left"))),
    ("pool_3", (("hit", 500, "pool.3", 30), ("rest", 700, "flipper.left"))),
    ("from_saucer", (("place", "playfield"), ("rest", 450, "flipper.left"))),
    ("out_of_saucer", (("hit", 150, "saucer", 60), ("rest", 400, "flipper.left"))),
    ("saucer_is_full", (("rest", 400, "flipper.left"),)),
    ("drained", (("place", "trough"), ("move", 250, "drain.middle"), ("enter", 250, "trough", ""))),
)
# fmt: on

# host/keys.py

KEYS = (
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
    (
        "plunger and drain",
        (
            ("space", "shot", "plunge", "plunge"),
            ("backspace", "shot", "drain", "drain"),
        ),
    ),
    (
        "shots",
        (
            ("q", "shot", "spinner", "spinner"),
            ("w", "shot", "buoy_1", "buoy 1"),
            ("e", "shot", "buoy_2", "buoy 2"),
            ("r", "shot", "buoy_3", "buoy 3"),
            ("t", "shot", "buoy_4", "buoy 4"),
            ("y", "shot", "saucer", "saucer"),
        ),
    ),
)

# host/coils.py

SUPPLY = (36, 0.3, "smoothed", "not guarded", "isolated")

WOUND = (
    ("trough_eject", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("auto_plunger", 3.0, 15.0, 23, "F", 22.5, "1.6 slow", 10.0),
    ("flipper.left.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.left.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("flipper.right.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.right.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("knocker", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("saucer_eject", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
)
