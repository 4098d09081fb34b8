"""The kit room's playfield as drawn: a work bench seen from above, in units of its own (400 × 700)."""

SIZE = (400, 700)
BALL_RADIUS = 11

COLOURS = (
    ("bench", (58, 44, 30)),
    ("board", (74, 58, 40)),
    ("steel", (120, 128, 134)),
    ("wall", (168, 158, 140)),
    ("lane", (44, 34, 24)),
    ("dark", (14, 12, 10)),
    ("text", (226, 214, 184)),
    ("faint", (172, 160, 132)),
)

# fmt: off
ART = (
    ("fill", "bench", ((12, 690), (12, 90), (60, 24), (200, 10), (340, 24), (388, 90), (388, 690))),
    ("fill", "board", ((28, 300), (60, 110), (200, 84), (340, 110), (352, 300), (200, 340))),
    ("fill", "lane", ((364, 690), (364, 150), (386, 150), (386, 690))),
    ("line", "wall", 4, ((362, 690), (362, 150))),
    ("curve", "wall", 5, (
        (12, 690), (12, 400), (12, 90), (60, 24), (200, 10), (340, 24), (388, 90), (388, 400), (388, 690))),
    ("line", "wall", 4, ((46, 470), (46, 556), (122, 604))),
    ("line", "wall", 4, ((328, 470), (328, 556), (252, 604))),
    ("fill", "dark", ((236, 668), (348, 668), (348, 690), (236, 690))),
    ("line", "steel", 6, ((92, 210), (124, 210))),
    ("line", "steel", 6, ((182, 180), (214, 180))),
    ("line", "steel", 6, ((272, 210), (304, 210))),
    ("text", "text", 26, 190, 50, "KIT ROOM"),
    ("text", "faint", 13, 108, 240, "VICE"),
    ("text", "faint", 13, 198, 210, "ANVIL"),
    ("text", "faint", 13, 288, 240, "SAW"),
    ("text", "faint", 12, 292, 656, "TROUGH"),
)
# fmt: on

INSERTS = (
    # lamp, shape, x, y, size, angle, label, label's x and y from the insert's middle (0, 0: on it)
    ("rush", "arrow", 288, 276, 16, 8, "RUSH", 0, 28),
    ("filing", "arrow", 108, 276, 16, -8, "FILING", 0, 28),
    ("combo", "hexagon", 188, 400, 26, 0, "CHAIN", 0, 0),
    ("crew", "hexagon", 188, 450, 26, 0, "CREW", 0, 0),
    ("again", "round", 188, 536, 14, 0, "AGAIN", 0, 24),
    ("start", "round", 46, 664, 10, 0, "START", 0, 18),
    ("tilt", "round", 98, 664, 10, 0, "TILT", 0, 18),
    ("rollover", "round", 156, 664, 8, 0, "OVER", 0, 18),
)

SWITCHES = (
    # switch, how it is drawn, x, y, angle
    ("land.1", "rollover", 120, 104, 0),
    ("land.2", "rollover", 200, 92, 0),
    ("land.3", "rollover", 280, 104, 0),
    ("vice", "target", 108, 198, 0),
    ("anvil", "target", 198, 168, 0),
    ("saw", "target", 288, 198, 0),
    ("bench.left", "rollover", 30, 380, 0),
    ("bench.right", "rollover", 346, 380, 0),
    ("trough.1", "slot", 316, 680, 0),
    ("trough.2", "slot", 288, 680, 0),
    ("trough.3", "slot", 260, 680, 0),
    ("trough.jam", "slot", 340, 680, 0),
    ("lane", "rollover", 375, 620, 0),
    ("eos.left", "dot", 120, 616, 0),
    ("eos.right", "dot", 254, 616, 0),
)

BUMPERS = ()

SLINGS = (
    # switch, coil, the two ends of the rubber, the corner behind
    ("sling.left", "sling.left", (84, 470), (122, 566), (84, 540)),
    ("sling.right", "sling.right", (290, 470), (252, 566), (290, 540)),
)

FLIPPERS = (
    # strong winding, hold winding, button, pivot, length, angle at rest, angle when up
    ("flipper.left.strong", "flipper.left.hold", "button.left", (130, 600), 48, 120, 62),
    ("flipper.right.strong", "flipper.right.hold", "button.right", (246, 600), 48, 240, 298),
)

KICKERS = (
    # coil, x, y, angle of the kick, label
    ("trough_eject", 350, 684, 60, ""),
    ("auto_plunger", 375, 660, 0, ""),
    ("knocker", 24, 620, 0, "KNOCK"),
)

FLASHERS = ()

POINTS = (
    # where routes lead that have no switch of their own, and where a sling is touched
    ("sling.left", 116, 520),
    ("sling.right", 258, 520),
    ("vice", 108, 214),
    ("anvil", 198, 184),
    ("saw", 288, 214),
    ("lane.2", 375, 594),
    ("lane.3", 375, 570),
    ("drain.middle", 188, 660),
    ("flipper.left", 150, 598),
    ("flipper.right", 226, 598),
)

# fmt: off
PATHS = (
    # from, to, the points a ball passes on the way
    ("lane", "land.1", ((375, 140), (330, 40), (200, 34), (124, 70))),
    ("lane", "land.2", ((375, 140), (330, 46), (230, 50))),
    ("lane", "land.3", ((375, 140), (330, 60))),
    ("lane", "flipper.right", ((375, 140), (330, 46), (150, 60), (150, 320))),
    ("bench.left", "flipper.left", ((30, 520), (100, 590))),
    ("bench.right", "flipper.left", ((346, 500), (270, 590))),
    ("drain.middle", "trough.3", ((220, 670),)),
    ("trough.jam", "lane.3", ((360, 672), (375, 640))),
)
# fmt: on

HIDDEN_PLACES = ()
