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
)

LATCHES = ()

FLIPPERS = (
    # strong winding, hold winding, end-of-stroke switch, up in, down in
    ("flipper.left.strong", "flipper.left.hold", "eos.left", 18, 25),
    ("flipper.right.strong", "flipper.right.hold", "eos.right", 18, 25),
)

WHEELS = ()

WEAK = (
    # coil, per cent of its pulses that fail when failures are asked for
    ("trough_eject", 8),
    ("auto_plunger", 5),
)

SHOTS = (
    # name, ball from, options (name, least, most, usual, weights when drawn), help, steps
    (
        "plunge",
        "lane",
        (("land", 0, 3, 2, (1, 2, 3, 2)),),
        "pull the plunger: onto a landing switch (land=0: past them all)",
        (("leave", "lane"), ("go", "served")),
    ),
    ("vice", "playfield", (), "the vice", (("hit", 250, "vice", 12), ("rest", 400, "flipper.left"))),
    ("anvil", "playfield", (), "the anvil", (("hit", 250, "anvil", 12), ("rest", 400, "flipper.left"))),
    ("saw", "playfield", (), "the saw", (("hit", 250, "saw", 12), ("rest", 400, "flipper.left"))),
    (
        "left_bench",
        "playfield",
        (),
        "down the left bench lane",
        (("hit", 250, "bench.left", 12), ("rest", 400, "flipper.left")),
    ),
    (
        "right_bench",
        "playfield",
        (),
        "down the right bench lane",
        (("hit", 250, "bench.right", 12), ("rest", 400, "flipper.left")),
    ),
    (
        "left_sling",
        "playfield",
        (),
        "left sling",
        (("hit", 250, "sling.left", 12), ("rest", 400, "flipper.left")),
    ),
    (
        "right_sling",
        "playfield",
        (),
        "right sling",
        (("hit", 250, "sling.right", 12), ("rest", 400, "flipper.left")),
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
    ("to_lane", (("hit", 15, "trough.jam", 45), ("enter", 155, "lane", ""))),
    ("drained", (("place", "trough"), ("move", 250, "drain.middle"), ("enter", 250, "trough", ""))),
    ("served", (("place", "playfield"), ("pick", "land", ("nowhere", "land_1", "land_2", "land_3")))),
    ("nowhere", (("rest", 700, "flipper.right"),)),
    ("land_1", (("hit", 400, "land.1", 30), ("rest", 700, "flipper.left"))),
    ("land_2", (("hit", 450, "land.2", 30), ("rest", 700, "flipper.left"))),
    ("land_3", (("hit", 500, "land.3", 30), ("rest", 700, "flipper.left"))),
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
            ("q", "shot", "vice", "vice"),
            ("w", "shot", "anvil", "anvil"),
            ("e", "shot", "saw", "saw"),
            ("r", "shot", "left_bench", "left bench"),
            ("t", "shot", "right_bench", "right bench"),
            ("y", "shot", "left_sling", "left sling"),
            ("u", "shot", "right_sling", "right sling"),
        ),
    ),
)

OPTOS = ()

# volts, ohms of supply and wires, smoothed or not, guarded or not, isolated from the mains or not known
SUPPLY = (36, 0.3, "smoothed", "not guarded", "isolated")

COILS = (
    # name, ohms, mH, AWG, insulation, clamp (zener volts, 0: diode), fuse, s between pulses, W borne
    ("trough_eject", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("auto_plunger", 3.0, 15.0, 23, "F", 22.5, "1.6 slow", 10.0),
    ("sling.left", 4.0, 20.0, 24, "F", 22.5, "1.25 slow", 3.0),
    ("sling.right", 4.0, 20.0, 24, "F", 22.5, "1.25 slow", 3.0),
    ("flipper.left.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.left.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("flipper.right.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.right.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("knocker", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("coin_meter", 225.0, 0.0, 0, "A", 22.5, "0.25 slow", 0.5, 8.0),
)
