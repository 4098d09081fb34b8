"""What is wired where in Kite Day; ids are positions in these tables. Times are milliseconds."""

SWITCHES = (
    # name, debounce class, zone, row, column; row 0: a direct input and its number
    ("breeze.1", "rollover", "playfield", 1, 1),
    ("breeze.2", "rollover", "playfield", 1, 2),
    ("breeze.3", "rollover", "playfield", 1, 3),
    ("tail.1", "target", "playfield", 1, 4),
    ("tail.2", "target", "playfield", 1, 5),
    ("tail.3", "target", "playfield", 1, 6),
    ("tail.4", "target", "playfield", 1, 7),
    ("thermal.left", "bumper", "playfield", 1, 8),
    ("thermal.right", "bumper", "playfield", 2, 1),
    ("reel", "spinner", "playfield", 2, 2),
    ("return.left", "rollover", "playfield", 2, 3),
    ("return.right", "rollover", "playfield", 2, 4),
    ("outlane.left", "rollover", "playfield", 2, 5),
    ("outlane.right", "rollover", "playfield", 2, 6),
    ("updraft", "rest", "device", 2, 7),
    ("outhole", "rest", "device", 2, 8),
    ("lane", "lane", "device", 3, 1),
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
    ("breeze.1", "blue", 1, 1),
    ("breeze.2", "blue", 1, 2),
    ("breeze.3", "blue", 1, 3),
    ("times.2", "white", 1, 4),
    ("times.3", "white", 1, 5),
    ("height.1", "amber", 1, 6),
    ("height.2", "amber", 1, 7),
    ("height.3", "amber", 1, 8),
    ("reel", "red", 2, 1),
    ("thermals", "white", 2, 2),
    ("worth.1", "white", 2, 3),
    ("worth.2", "white", 2, 4),
    ("worth.3", "white", 2, 5),
    ("extra_ball", "red", 2, 6),
    ("special", "red", 2, 7),
    ("again", "red", 2, 8),
    ("string.1", "amber", 3, 1),
    ("string.2", "amber", 3, 2),
    ("up.1", "white", 3, 3),
    ("up.2", "white", 3, 4),
    ("up.3", "white", 3, 5),
    ("up.4", "white", 3, 6),
    ("start", "white", 3, 7),
    ("tilt", "red", 3, 8),
)

COILS = (
    # name, class, pulse, longest (0: may stay on), rest, drive
    ("outhole_kick", "queued", 30, 60, 300, 1),
    ("updraft_eject", "queued", 30, 60, 300, 2),
    ("tail_reset", "queued", 80, 150, 500, 3),
    ("thermal.left", "snap", 20, 30, 60, 4),
    ("thermal.right", "snap", 20, 30, 60, 5),
    ("flipper.left.strong", "flipper", 40, 60, 10, 6),
    ("flipper.left.hold", "flipper", -1, 0, 0, 7),
    ("flipper.right.strong", "flipper", 40, 60, 10, 8),
    ("flipper.right.hold", "flipper", -1, 0, 0, 9),
    ("chime.low", "snap", 25, 40, 50, 10),
    ("chime.middle", "snap", 25, 40, 50, 11),
    ("chime.high", "snap", 25, 40, 50, 12),
)

# Work out anew with `inlane coil --game NAME` when host/coils.py changes.
HEAT = (
    # coil, mA while on, heat budget in ms of on-time, percent of on-time borne for ever
    ("outhole_kick", 5714, 15411, 5),
    ("updraft_eject", 5714, 15411, 5),
    ("tail_reset", 5714, 38961, 5),
    ("thermal.left", 8372, 10892, 3),
    ("thermal.right", 8372, 10892, 3),
    ("flipper.left.strong", 10909, 15479, 2),
    ("flipper.left.hold", 160, 0, 100),
    ("flipper.right.strong", 10909, 15479, 2),
    ("flipper.right.hold", 160, 0, 100),
    ("chime.low", 2927, 38820, 11),
    ("chime.middle", 2927, 38820, 11),
    ("chime.high", 2927, 38820, 11),
)

SUPPLY_MA = 36000  # at once
COIL_VOLTS_LOW_MV = 25200  # below it queued coils wait

REFLEXES = (
    # switch, coil, pulse, lockout from pulse start
    ("thermal.left", "thermal.left", 20, 80),
    ("thermal.right", "thermal.right", 20, 80),
)

FLIPPERS = (
    # button, end-of-stroke switch, strong winding, hold winding, longest strong pulse
    ("button.left", "eos.left", "flipper.left.strong", "flipper.left.hold", 40),
    ("button.right", "eos.right", "flipper.right.strong", "flipper.right.hold", 40),
)

SEARCH = (
    # coil, first round it is tried while its hole holds balls, feature behind it
    ("updraft_eject", 1, ""),
    ("thermal.left", 1, ""),
    ("thermal.right", 1, ""),
    ("tail_reset", 1, "tail"),
)

DISPLAYS = (
    # name, digits, segments of each, what it shows
    ("player.1", 7, 7, "score"),
    ("player.2", 7, 7, "score"),
    ("player.3", 7, 7, "score"),
    ("player.4", 7, 7, "score"),
    ("count", 2, 7, "count"),
)

CHIMES = (
    # cue, strokes: coil and ms until the next one
    ("ten", (("chime.low", 130),)),
    ("hundred", (("chime.middle", 130),)),
    ("thousand", (("chime.high", 130),)),
    ("bonus", (("chime.high", 130),)),
    ("breeze", (("chime.low", 130), ("chime.middle", 130), ("chime.high", 130))),
    ("tail", (("chime.high", 130), ("chime.middle", 130), ("chime.high", 130), ("chime.low", 130))),
    ("reel_lit", (("chime.low", 130), ("chime.low", 130))),
    ("updraft", (("chime.middle", 130), ("chime.high", 130), ("chime.middle", 130))),
    ("lit", (("chime.high", 130), ("chime.low", 130))),
    ("hurry", (("chime.low", 130), ("chime.low", 130))),
    ("start", (("chime.low", 180), ("chime.middle", 180), ("chime.high", 180))),
    ("refused", (("chime.low", 300),)),
    ("coin", (("chime.middle", 130),)),
    ("credit", (("chime.high", 130), ("chime.high", 130), ("chime.high", 130))),
    ("extra_ball", (("chime.high", 140), ("chime.middle", 140), ("chime.low", 140), ("chime.high", 140))),
    (
        "special",
        (
            ("chime.high", 130),
            ("chime.low", 130),
            ("chime.high", 130),
            ("chime.low", 130),
            ("chime.high", 130),
        ),
    ),
    ("best_score", (("chime.low", 150), ("chime.high", 150), ("chime.low", 150), ("chime.high", 150))),
    ("tilt", (("chime.low", 400), ("chime.low", 400))),
    ("warning", (("chime.low", 200),)),
    ("game_over", (("chime.high", 250), ("chime.middle", 250), ("chime.low", 250))),
    ("search", (("chime.low", 500),)),
)

LATCHED = ("tail.1", "tail.2", "tail.3", "tail.4")  # may rest closed in play: targets that are down

TROUGH = ("outhole",)
BALLS = 1
