"""Made by `inlane machine` from host/machine.py: change that file, then run the command again.

What is wired where: ids are positions in these tables, and follow the wires.

Times are milliseconds. A coil's numbers are: usual pulse, longest on-time, shortest rest.
"""

# fmt: off
SWITCHES = (
    # name, debounce class, zone, row, column; row 0: a direct input and its number
    ("bee.1", "rollover", "playfield", 1, 1),
    ("bee.2", "rollover", "playfield", 1, 2),
    ("bee.3", "rollover", "playfield", 1, 3),
    ("meadow.1", "bumper", "playfield", 1, 4),
    ("meadow.2", "bumper", "playfield", 1, 5),
    ("meadow.3", "bumper", "playfield", 1, 6),
    ("spinner", "spinner", "playfield", 1, 7),
    ("orbit.left", "rollover", "playfield", 1, 8),
    ("orbit.right", "rollover", "playfield", 2, 1),
    ("ramp_left.enter", "rollover", "playfield", 2, 2),
    ("ramp_left.made", "rollover", "playfield", 2, 3),
    ("ramp_right.enter", "rollover", "playfield", 2, 4),
    ("ramp_right.made", "rollover", "playfield", 2, 5),
    ("smoker.1", "target", "playfield", 2, 6),
    ("smoker.2", "target", "playfield", 2, 7),
    ("smoker.3", "target", "playfield", 2, 8),
    ("frame.1", "target", "playfield", 3, 1),
    ("frame.2", "target", "playfield", 3, 2),
    ("frame.3", "target", "playfield", 3, 3),
    ("frame.4", "target", "playfield", 3, 4),
    ("keeper", "target", "playfield", 3, 5),
    ("spot", "target", "playfield", 3, 6),
    ("sling.left", "sling", "playfield", 3, 7),
    ("sling.right", "sling", "playfield", 3, 8),
    ("inlane.left", "rollover", "playfield", 4, 1),
    ("inlane.right", "rollover", "playfield", 4, 2),
    ("outlane.left", "rollover", "playfield", 4, 3),
    ("outlane.right", "rollover", "playfield", 4, 4),
    ("queen_cell", "rollover", "device", 4, 5),
    ("porch", "rest", "device", 4, 6),
    ("hive.1", "rest", "device", 4, 7),
    ("hive.2", "rest", "device", 4, 8),
    ("trough.1", "rest", "device", 5, 1),
    ("trough.2", "rest", "device", 5, 2),
    ("trough.3", "rest", "device", 5, 3),
    ("trough.jam", "rest", "device", 5, 4),
    ("lane", "lane", "device", 5, 5),
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
    ("wheel.index", "target", "cabinet", 0, 16),
)

LAMPS = (
    # name, colour, row, column
    ("bee.1", "amber", 1, 1),
    ("bee.2", "amber", 1, 2),
    ("bee.3", "amber", 1, 3),
    ("times.2", "white", 1, 4),
    ("times.3", "white", 1, 5),
    ("times.4", "white", 1, 6),
    ("times.5", "white", 1, 7),
    ("times.6", "white", 1, 8),
    ("nectar", "amber", 2, 1),
    ("pollen", "amber", 2, 2),
    ("ladder", "white", 2, 3),
    ("waggle", "violet", 2, 4),
    ("cell", "red", 2, 5),
    ("again", "red", 2, 6),
    ("smoker.1", "white", 2, 7),
    ("smoker.2", "white", 2, 8),
    ("smoker.3", "white", 3, 1),
    ("frame.1", "amber", 3, 2),
    ("frame.2", "amber", 3, 3),
    ("frame.3", "amber", 3, 4),
    ("frame.4", "amber", 3, 5),
    ("rung.1", "white", 3, 6),
    ("rung.2", "white", 3, 7),
    ("rung.3", "white", 3, 8),
    ("rung.4", "white", 4, 1),
    ("rung.5", "white", 4, 2),
    ("spinner", "amber", 4, 3),
    ("orbit_left", "amber", 4, 4),
    ("dance.1", "violet", 4, 5),
    ("dance.2", "violet", 4, 6),
    ("dance.3", "violet", 4, 7),
    ("seal", "blue", 4, 8),
    ("lock", "red", 5, 1),
    ("guard", "blue", 5, 2),
    ("extra_ball", "red", 5, 3),
    ("outlane.left", "red", 5, 4),
    ("outlane.right", "red", 5, 5),
    ("special", "red", 5, 6),
    ("jar", "amber", 5, 7),
    ("rollover", "white", 5, 8),
    ("start", "white", 6, 1),
    ("swarm", "red", 6, 2),
    ("lock.1", "red", 6, 3),
    ("lock.2", "red", 6, 4),
    ("meadow.1", "white", 6, 5),
    ("meadow.2", "white", 6, 6),
    ("meadow.3", "white", 6, 7),
    ("tilt", "red", 6, 8),
    ("ball_in_play", "white", 7, 1),
    ("wheel.1", "amber", 7, 2),
    ("wheel.2", "amber", 7, 3),
    ("wheel.3", "amber", 7, 4),
    ("wheel.4", "amber", 7, 5),
    ("wheel.5", "amber", 7, 6),
    ("wheel.6", "amber", 7, 7),
    ("wheel.7", "amber", 7, 8),
    ("wheel.8", "amber", 8, 1),
)

COILS = (
    # name, class, pulse, longest (0: may stay on), rest, drive
    ("trough_eject", "queued", 30, 60, 300, 1),
    ("auto_plunger", "queued", 35, 60, 500, 2),
    ("bumper.1", "snap", 20, 30, 60, 3),
    ("bumper.2", "snap", 20, 30, 60, 4),
    ("bumper.3", "snap", 20, 30, 60, 5),
    ("sling.left", "snap", 20, 30, 60, 6),
    ("sling.right", "snap", 20, 30, 60, 7),
    ("flipper.left.strong", "flipper", 40, 60, 10, 8),
    ("flipper.left.hold", "flipper", -1, 0, 0, 9),
    ("flipper.right.strong", "flipper", 40, 60, 10, 10),
    ("flipper.right.hold", "flipper", -1, 0, 0, 11),
    ("keeper_reset", "queued", 80, 150, 500, 12),
    ("porch_eject", "queued", 30, 60, 300, 13),
    ("hive_eject", "queued", 30, 60, 300, 14),
    ("kickback", "snap", 30, 50, 500, 15),
    ("knocker", "queued", 30, 50, 200, 16),
    ("flash.hive", "flasher", 60, 120, 180, 17),
    ("flash.jar", "flasher", 60, 120, 180, 18),
    ("flash.queen", "flasher", 60, 120, 180, 19),
    ("flash.wax", "flasher", 60, 120, 180, 20),
    ("wheel_motor", "motor", -1, 0, 0, 21),
    ("coin_meter", "meter", 60, 120, 120, 22),
    ("coin_lockout", "motor", -1, 0, 0, 23),
    ("spare", "queued", 20, 30, 300, 24),
)

HEAT = (
    # coil, mA while on, heat budget in ms of on-time, percent of on-time borne for ever
    ("trough_eject", 5783, 9681, 4),
    ("auto_plunger", 11163, 6103, 2),
    ("bumper.1", 11163, 6118, 2),
    ("bumper.2", 11163, 6118, 2),
    ("bumper.3", 11163, 6118, 2),
    ("sling.left", 7619, 8665, 3),
    ("sling.right", 7619, 8665, 3),
    ("flipper.left.strong", 11163, 9720, 2),
    ("flipper.left.hold", 120, 0, 100),
    ("flipper.right.strong", 11163, 9720, 2),
    ("flipper.right.hold", 120, 0, 100),
    ("keeper_reset", 5783, 24473, 4),
    ("porch_eject", 5783, 9681, 4),
    ("hive_eject", 5783, 9681, 4),
    ("kickback", 11163, 6108, 2),
    ("knocker", 5783, 9681, 4),
    ("flash.hive", 100, 0, 100),
    ("flash.jar", 100, 0, 100),
    ("flash.queen", 100, 0, 100),
    ("flash.wax", 100, 0, 100),
    ("wheel_motor", 299, 0, 100),
    ("coin_meter", 120, 0, 100),
    ("coin_lockout", 120, 0, 100),
)

SUPPLY_MA = 48000  # at once
COIL_VOLTS_LOW_MV = 33600  # below it queued coils wait

REFLEXES = (
    # switch, coil, pulse, lockout from pulse start
    ("meadow.1", "bumper.1", 20, 80),
    ("meadow.2", "bumper.2", 20, 80),
    ("meadow.3", "bumper.3", 20, 80),
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
    ("porch_eject", 1, ""),
    ("bumper.1", 1, ""),
    ("bumper.2", 1, ""),
    ("bumper.3", 1, ""),
    ("sling.left", 1, ""),
    ("sling.right", 1, ""),
    ("keeper_reset", 1, "gate"),
    ("auto_plunger", 1, ""),
    ("hive_eject", 3, "hive"),
)

LATCHED = ("keeper",)  # may rest closed in play: targets that are down

TROUGH = ("trough.1", "trough.2", "trough.3")
BALLS = 3
