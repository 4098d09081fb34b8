"""The kit room's machine: each device once. `inlane machine` makes the tables of it.

The windings are invented, as everything in this demo. Measure your own: ohms cold, mH with the plunger
in, wire gauge from the label or a micrometer.
"""

SUPPLY = Supply(36, ohms=0.3)
SMALL = Winding(6, mh=30, awg=25, fuse="1 slow", insulation="F")
THROW = Winding(3, mh=15, awg=23, fuse="1.6 slow", insulation="F")
SLING = Winding(4, mh=20, awg=24, fuse="1.25 slow", insulation="F")
STRONG = Winding(3, mh=15, awg=22, fuse="1.6 slow", insulation="F")
HOLD = Winding(225, mh=1100, awg=33, fuse="0.25 slow", insulation="F")
COUNTS = Load(225, watts=8, fuse="0.25 slow")
SHORT = Touch(250, 12, 400, "left")
LAND = "pull the plunger: onto a landing switch (land=0: past them all)"

MACHINE = (
    lanes("land", 3, at=(1, 1)),
    targets("vice", at=(1, 4)),
    targets("anvil", at=(1, 5)),
    targets("saw", at=(1, 6)),
    lanes("bench", ("left", "right"), at=(1, 7), touch=SHORT, help="down the {} bench lane"),
    slings(at=(2, 1), coil=Coil(3, SLING), touch=SHORT),
    trough(3, at=(2, 3), jam=(2, 6), coil=Coil(1, SMALL)),
    shooter(at=(2, 7), coil=Coil(2, THROW), over="land", usual=2, weights=(1, 2, 3, 2), help=LAND),
    flippers(strong=Coil((5, 7), STRONG), hold=Coil((6, 8), HOLD)),
    cabinet(knocker=Coil(9, SMALL), meter=Coil(10, COUNTS)),
    lamps("rush", colour="red", at=(1, 1)),
    lamps("filing", colour="amber", at=(1, 2)),
    lamps("combo", colour="blue", at=(1, 3)),
    lamps(("again", "tilt"), colour="red", at=((1, 4), (1, 6))),
    lamps(("start", "rollover"), colour="white", at=((1, 5), (1, 7))),
    lamps("crew", colour="amber", at=(1, 8)),
)
