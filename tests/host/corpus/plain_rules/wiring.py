"""What is wired where: a small cabinet, and a switch for each rule. Times are milliseconds."""

SWITCHES = (
    # name, debounce class, zone, row, column; row 0: a direct input and its number
    ("sling.left", "sling", "playfield", 2, 1),
    ("sling.right", "sling", "playfield", 2, 2),
    ("trough.1", "rest", "device", 2, 3),
    ("trough.2", "rest", "device", 2, 4),
    ("trough.3", "rest", "device", 2, 5),
    ("trough.jam", "rest", "device", 2, 6),
    ("lane", "lane", "device", 2, 7),
    ("by_name", "rollover", "playfield", 3, 1),
    ("holders", "rollover", "playfield", 3, 2),
    ("twins.left", "rollover", "playfield", 3, 3),
    ("twins.right", "rollover", "playfield", 3, 4),
    ("closures", "rollover", "playfield", 3, 5),
    ("comprehensions", "rollover", "playfield", 3, 6),
    ("inheritance", "rollover", "playfield", 3, 7),
    ("defaults", "rollover", "playfield", 3, 8),
    ("generators", "rollover", "playfield", 4, 1),
    ("stars", "rollover", "playfield", 4, 2),
    ("class_attributes", "rollover", "playfield", 4, 3),
    ("properties", "rollover", "playfield", 4, 4),
    ("static_methods", "rollover", "playfield", 4, 5),
    ("handed_on", "rollover", "playfield", 4, 6),
    ("errors", "rollover", "playfield", 4, 7),
    ("dispatch", "rollover", "playfield", 4, 8),
    ("wording", "rollover", "playfield", 5, 1),
    ("sets", "rollover", "playfield", 5, 2),
    ("sorting", "rollover", "playfield", 5, 3),
    ("pairing", "rollover", "playfield", 5, 4),
    ("loops", "rollover", "playfield", 5, 5),
    ("tidying", "rollover", "playfield", 5, 6),
    ("recursion", "rollover", "playfield", 5, 7),
    ("slices", "rollover", "playfield", 5, 8),
    ("bits", "rollover", "playfield", 6, 1),
    ("late_import", "rollover", "playfield", 6, 2),
    ("containers", "rollover", "playfield", 6, 3),
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
    # name, colour, row, column
    ("again", "red", 1, 4),
    ("start", "white", 1, 5),
    ("tilt", "red", 1, 6),
    ("rollover", "white", 1, 7),
)

COILS = (
    # name, class, pulse, longest (0: may stay on), rest, drive
    ("trough_eject", "queued", 30, 60, 300, 1),
    ("auto_plunger", "queued", 35, 60, 500, 2),
    ("sling.left", "snap", 20, 30, 60, 3),
    ("sling.right", "snap", 20, 30, 60, 4),
    ("flipper.left.strong", "flipper", 40, 60, 10, 5),
    ("flipper.left.hold", "flipper", -1, 0, 0, 6),
    ("flipper.right.strong", "flipper", 40, 60, 10, 7),
    ("flipper.right.hold", "flipper", -1, 0, 0, 8),
    ("knocker", "queued", 30, 50, 200, 9),
    ("coin_meter", "meter", 60, 120, 120, 10),
)

# Work out anew with `inlane coil --game NAME` when host/coils.py changes.
HEAT = (
    # coil, mA while on, heat budget in ms of on-time, percent of on-time borne for ever
    ("trough_eject", 5714, 15411, 5),
    ("auto_plunger", 10909, 9725, 2),
    ("sling.left", 8372, 10892, 3),
    ("sling.right", 8372, 10892, 3),
    ("flipper.left.strong", 10909, 15479, 2),
    ("flipper.left.hold", 160, 0, 100),
    ("flipper.right.strong", 10909, 15479, 2),
    ("flipper.right.hold", 160, 0, 100),
    ("knocker", 5714, 15411, 5),
)

SUPPLY_MA = 36000  # at once
COIL_VOLTS_LOW_MV = 25200  # below it queued coils wait

REFLEXES = (
    # switch, coil, pulse, lockout from pulse start
    ("sling.left", "sling.left", 20, 80),
    ("sling.right", "sling.right", 20, 80),
)

FLIPPERS = (
    # button, end-of-stroke switch, strong winding, hold winding, longest strong pulse
    ("button.left", "eos.left", "flipper.left.strong", "flipper.left.hold", 40),
    ("button.right", "eos.right", "flipper.right.strong", "flipper.right.hold", 40),
)

SEARCH = (
    # coil, first round it is tried while its hole keeps balls, hole
    ("sling.left", 1, ""),
    ("sling.right", 1, ""),
    ("auto_plunger", 1, ""),
)

TROUGH = ("trough.1", "trough.2", "trough.3")
BALLS = 3
