"""Where the balls go: to the lane, out, and back. All times are milliseconds."""

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

WEAK = ()

SHOTS = (
    # name, ball from, options, help, steps
    ("plunge", "lane", (), "pull the plunger: nothing is touched", (("leave", "lane"), ("go", "served"))),
    ("drain", "playfield", (), "down between the flippers", (("go", "drained"),)),
)

ROUTES = (
    # name, steps: parts of shots and what coils start
    ("to_lane", (("hit", 15, "trough.jam", 45), ("enter", 155, "lane", ""))),
    ("served", (("place", "playfield"), ("rest", 700, "flipper.right"))),
    ("drained", (("place", "trough"), ("enter", 250, "trough", ""))),
)
