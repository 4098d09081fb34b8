"""Honey Flow's machine: each device once. `inlane machine` makes the tables of it.

The windings are invented, as everything in this demo. Measure your own: ohms cold, mH with the plunger
in, wire gauge from the label or a micrometer. The line order is the order of the ball search.
"""

SUPPLY = Supply(48, ohms=0.3)
SMALL = Winding(8, mh=40, awg=26, fuse="1 slow", insulation="F")
THROW = Winding(4, mh=20, awg=24, fuse="1.6 slow", insulation="F")
SLING = Winding(6, mh=30, awg=25, fuse="1.25 slow", insulation="F")
LIFT = Winding(8, mh=40, awg=24, fuse="1.25 slow", insulation="F")
STRONG = Winding(4, mh=20, awg=23, fuse="1.6 slow", insulation="F")
HOLD = Winding(400, mh=2000, awg=34, fuse="0.25 slow", insulation="F")
FLASH = Load(480, watts=8, fuse="0.25 slow")  # LEDs with their resistors
TURNS = Load(160, watts=20, fuse="0.5 slow")  # a motor that may stand still
COUNTS = Load(400, watts=8, fuse="0.25 slow")

BEES = Touch(400, 30, 700, ("left", "right", "right"))
SMOKER = Touch((260, 250, 240), (9, 8, 10), 420, ("right", "right", "left"))
FRAMES = Touch((260, 250, 240, 230), (9, 11, 8, 10), 430, ("left", "left", "left", "right"))
MEADOW = Touch(to=("left", "right", "right"))

MACHINE = (
    lanes("bee", 3, at=(1, 1), lamps=Lamp("amber", (1, 1)), touch=BEES),
    tunnel("queen_cell", to="porch", at=(4, 5), shot=False),
    hole("porch", at=(4, 6), coil=Coil(13, SMALL), room=3, shot=False),
    spinner("spinner", at=(1, 7), lamp=Lamp("amber", (4, 3)), shot=False),
    orbit("orbit", ("left", "right"), at=(1, 8)),
    ramp("ramp_left", at=(2, 2), to="inlane.right"),
    ramp("ramp_right", at=(2, 4), to="inlane.left"),
    targets("smoker", 3, at=(2, 6), lamps=Lamp("white", (2, 7)), touch=SMOKER, help="smoker target {}"),
    targets("frame", 4, at=(3, 1), lamps=Lamp("amber", (3, 2)), touch=FRAMES, help="frame target {}"),
    targets("spot", at=(3, 6), touch=Touch(230, 7, 380, "right"), help="the spot standup"),
    bumpers("meadow", 3, at=(1, 4), coil=Coil(3, THROW, "bumper"), lamps=Lamp("white", (6, 5)), touch=MEADOW),
    slings(at=(3, 7), coil=Coil(6, SLING)),
    lanes("inlane", ("left", "right"), at=(4, 1)),
    lanes("outlane", ("left", "right"), at=(4, 3), lamps=Lamp("red", (5, 4)), drains=True),
    kickback("kickback", lane="outlane.left", coil=Coil(15, THROW)),
    drops("keeper", at=(3, 5), reset=Coil(12, LIFT), feature="gate", shot=False),
    trough(3, at=(5, 1), jam=(5, 4), coil=Coil(1, SMALL)),
    shooter(at=(5, 5), coil=Coil(2, THROW)),
    hole("hive", 2, at=(4, 7), coil=Coil(14, SMALL), search=3, to="right", roll=150),
    wheel("wheel", 8, at=16, motor=Coil(21, TURNS), lamps=Lamp("amber", (7, 2)), start=3),
    flippers(strong=Coil((8, 10), STRONG), hold=Coil((9, 11), HOLD)),
    cabinet(knocker=Coil(16, SMALL), meter=Coil(22, COUNTS), lockout=Coil(23, COUNTS)),
    flashers("flash", ("hive", "jar", "queen", "wax"), coil=Coil(17, FLASH)),
    coil("spare", Coil(24, pulse=20, longest=30)),
    lamps("times", 5, first=2, colour="white", at=(1, 4)),
    lamps(("nectar", "pollen"), colour="amber", at=(2, 1)),
    lamps("ladder", colour="white", at=(2, 3)),
    lamps("waggle", colour="violet", at=(2, 4)),
    lamps(("cell", "again"), colour="red", at=(2, 5)),
    lamps("rung", 5, colour="white", at=(3, 6)),
    lamps(("orbit_left", "jar"), colour="amber", at=((4, 4), (5, 7))),
    lamps("dance", 3, colour="violet", at=(4, 5)),
    lamps(("seal", "guard"), colour="blue", at=((4, 8), (5, 2))),
    lamps(("lock", "extra_ball", "special"), colour="red", at=((5, 1), (5, 3), (5, 6))),
    lamps(("rollover", "start", "ball_in_play"), colour="white", at=((5, 8), (6, 1), (7, 1))),
    lamps(("swarm", "tilt"), colour="red", at=((6, 2), (6, 8))),
    lamps("lock", 2, colour="red", at=(6, 3)),
)
