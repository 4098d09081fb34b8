"""A pond: lanes, spinner, bank, saucer."""

SUPPLY = Supply(36, ohms=0.3)
SMALL = Winding(6, mh=30, awg=25, fuse="1 slow", insulation="F")
THROW = Winding(3, mh=15, awg=23, fuse="1.6 slow", insulation="F")
STRONG = Winding(3, mh=15, awg=22, fuse="1.6 slow", insulation="F")
HOLD = Winding(225, mh=1100, awg=33, fuse="0.25 slow", insulation="F")

MACHINE = (
    lanes("pool", 3, at=(1, 1), lamps=Lamp("blue", (1, 1))),
    spinner("spinner", at=(1, 4), lamp=Lamp("amber", (1, 4))),
    targets("buoy", 4, at=(1, 5), lamps=Lamp("red", (2, 1))),
    trough(3, at=(2, 3), jam=(2, 6), coil=Coil(1, SMALL)),
    shooter(at=(2, 7), coil=Coil(2, THROW), over="pool"),
    hole("saucer", at=(2, 8), coil=Coil(11, SMALL), lamp=Lamp("white", (2, 5))),
    flippers(strong=Coil((5, 7), STRONG), hold=Coil((6, 8), HOLD)),
    cabinet(knocker=Coil(9, SMALL), meter=Coil(10)),
    lamps("whirl", colour="amber", at=(1, 8)),
    lamps(("start", "again", "tilt", "rollover"), colour="white", at=((1, 5), (1, 6), (1, 7), (2, 6))),
)
