"""Where the kit room's balls go: literal tables for the plant. All times are milliseconds."""

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

WEAK = (
    # coil, per cent of its pulses that fail when failures are asked for
    ("trough_eject", 8),
    ("auto_plunger", 5),
)

LAND = ("land", 0, 3, 2, (1, 2, 3, 2))


def _touch(name: str, switch: str, help_text: str) -> tuple[object, ...]:
    return (name, "playfield", (), help_text, (("hit", 250, switch, 12), ("rest", 400, "flipper.left")))


SHOTS = (
    # name, ball from, options (name, least, most, usual, weights when drawn), help, steps
    (
        "plunge",
        "lane",
        (LAND,),
        "pull the plunger: onto a landing switch (land=0: past them all)",
        (("leave", "lane"), ("go", "served")),
    ),
    _touch("vice", "vice", "the vice"),
    _touch("anvil", "anvil", "the anvil"),
    _touch("saw", "saw", "the saw"),
    _touch("left_bench", "bench.left", "down the left bench lane"),
    _touch("right_bench", "bench.right", "down the right bench lane"),
    _touch("left_sling", "sling.left", "left sling"),
    _touch("right_sling", "sling.right", "right sling"),
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
    ("served", (("place", "playfield"), ("pick", "land", ("nowhere", "land_1", "land_2", "land_3")))),
    ("nowhere", (("rest", 700, "flipper.right"),)),
    ("land_1", (("hit", 400, "land.1", 30), ("rest", 700, "flipper.left"))),
    ("land_2", (("hit", 450, "land.2", 30), ("rest", 700, "flipper.left"))),
    ("land_3", (("hit", 500, "land.3", 30), ("rest", 700, "flipper.left"))),
    ("drained", (("place", "trough"), ("move", 250, "drain.middle"), ("enter", 250, "trough", ""))),
)
