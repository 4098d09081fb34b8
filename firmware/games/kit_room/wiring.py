"""Made by `inlane machine` from host/machine.py: change that file, then run the command again.

What is wired where: ids are positions in these tables, and follow the wires.

Times are milliseconds. A coil's numbers are: usual pulse, longest on-time, shortest rest.
"""

# fmt: off
SWITCHES = (
    # name, debounce class, zone, row, column; row 0: a direct input and its number
    ("land.1", "rollover", "playfield", 1, 1),
    ("land.2", "rollover", "playfield", 1, 2),
    ("land.3", "rollover", "playfield", 1, 3),
    ("vice", "target", "playfield", 1, 4),
    ("anvil", "target", "playfield", 1, 5),
    ("saw", "target", "playfield", 1, 6),
    ("bench.left", "rollover", "playfield", 1, 7),
    ("bench.right", "rollover", "playfield", 1, 8),
    ("sling.left", "sling", "playfield", 2, 1),
    ("sling.right", "sling", "playfield", 2, 2),
    ("trough.1", "rest", "device", 2, 3),
    ("trough.2", "rest", "device", 2, 4),
    ("trough.3", "rest", "device", 2, 5),
    ("trough.jam", "rest", "device", 2, 6),
    ("lane", "lane", "device", 2, 7),
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
    ("rush", "red", 1, 1),
    ("filing", "amber", 1, 2),
    ("combo", "blue", 1, 3),
    ("again", "red", 1, 4),
    ("start", "white", 1, 5),
    ("tilt", "red", 1, 6),
    ("rollover", "white", 1, 7),
    ("crew", "amber", 1, 8),
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
    ("coin_meter", 160, 0, 100),
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
    # coil, first round it is tried while its hole holds balls, feature behind it
    ("sling.left", 1, ""),
    ("sling.right", 1, ""),
    ("auto_plunger", 1, ""),
)

TROUGH = ("trough.1", "trough.2", "trough.3")
BALLS = 3
