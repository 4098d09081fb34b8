"""Kite Day's machine: each device once. `inlane machine` makes the tables of it.

The windings are invented, as everything in this game. Measure your own: ohms cold, mH with the plunger
in, wire gauge from the label or a micrometer. The line order is the order of the ball search.
"""

SUPPLY = Supply(36, ohms=0.3)
SMALL = Winding(6, mh=30, awg=25, fuse="1 slow", insulation="F")
LIFT = Winding(6, mh=30, awg=23, fuse="1.25 slow", insulation="F")
THERMAL = Winding(4, mh=20, awg=24, fuse="1.25 slow", insulation="F")
STRONG = Winding(3, mh=15, awg=22, fuse="1.6 slow", insulation="F")
HOLD = Winding(225, mh=1100, awg=33, fuse="0.25 slow", insulation="F")
CHIME = Winding(12, mh=40, awg=26, fuse="0.63 slow", insulation="F")

BREEZE = Touch(400, 30, 700, ("left", "right", "right"))
SIDES = ("left", "right")

CUES = (
    # cue, strokes: chime and ms until the next one
    ("ten", (("low", 130),)),
    ("hundred", (("middle", 130),)),
    ("thousand", (("high", 130),)),
    ("bonus", (("high", 130),)),
    ("breeze", (("low", 130), ("middle", 130), ("high", 130))),
    ("tail", (("high", 130), ("middle", 130), ("high", 130), ("low", 130))),
    ("reel_lit", (("low", 130), ("low", 130))),
    ("updraft", (("middle", 130), ("high", 130), ("middle", 130))),
    ("lit", (("high", 130), ("low", 130))),
    ("hurry", (("low", 130), ("low", 130))),
    ("start", (("low", 180), ("middle", 180), ("high", 180))),
    ("refused", (("low", 300),)),
    ("coin", (("middle", 130),)),
    ("credit", (("high", 130), ("high", 130), ("high", 130))),
    ("extra_ball", (("high", 140), ("middle", 140), ("low", 140), ("high", 140))),
    ("special", (("high", 130), ("low", 130), ("high", 130), ("low", 130), ("high", 130))),
    ("best_score", (("low", 150), ("high", 150), ("low", 150), ("high", 150))),
    ("tilt", (("low", 400), ("low", 400))),
    ("warning", (("low", 200),)),
    ("game_over", (("high", 250), ("middle", 250), ("low", 250))),
    ("search", (("low", 500),)),
)

MACHINE = (
    lanes("breeze", 3, at=(1, 1), lamps=Lamp("blue", (1, 1)), touch=BREEZE),
    hole("updraft", at=(2, 7), coil=Coil(2, SMALL), to="right", shot=False),
    bumpers("thermal", SIDES, at=(1, 8), coil=Coil(4, THERMAL)),
    spinner("reel", at=(2, 2), lamp=Lamp("red", (2, 1))),
    lanes("return", SIDES, at=(2, 3), help="down the {} return lane"),
    lanes("outlane", SIDES, at=(2, 5), drains=True),
    drops("tail", 4, at=(1, 4), reset=Coil(3, LIFT), feature="tail"),
    outhole(at=(2, 8), coil=Coil(1, SMALL)),
    shooter(at=(3, 1)),
    flippers(strong=Coil((6, 8), STRONG), hold=Coil((7, 9), HOLD)),
    cabinet(),
    chimes("chime", ("low", "middle", "high"), coil=Coil(10, CHIME, rest=50), cues=CUES),
    displays("player", 4, digits=7),
    displays("count", digits=2, shows="count"),
    lamps("times", 2, first=2, colour="white", at=(1, 4)),
    lamps("height", 3, colour="amber", at=(1, 6)),
    lamps("thermals", colour="white", at=(2, 2)),
    lamps("worth", 3, colour="white", at=(2, 3)),
    lamps(("extra_ball", "special", "again"), colour="red", at=(2, 6)),
    lamps("string", 2, colour="amber", at=(3, 1)),
    lamps("up", 4, colour="white", at=(3, 3)),
    lamps("start", colour="white", at=(3, 7)),
    lamps("tilt", colour="red", at=(3, 8)),
)
