"""Kite Day's playfield as drawn: a hill under a wide sky, in units of its own (400 × 720)."""

SIZE = (400, 720)
BALL_RADIUS = 11

COLOURS = (
    ("sky", (38, 66, 104)),
    ("high_sky", (30, 52, 88)),
    ("cloud", (82, 112, 150)),
    ("hill", (46, 84, 58)),
    ("far_hill", (44, 74, 76)),
    ("path", (122, 112, 82)),
    ("kite_red", (196, 66, 52)),
    ("kite_gold", (224, 176, 66)),
    ("string", (214, 210, 196)),
    ("wall", (186, 176, 150)),
    ("lane", (28, 40, 60)),
    ("dark", (12, 14, 20)),
    ("wood", (90, 64, 40)),
    ("text", (236, 230, 208)),
    ("faint", (176, 186, 196)),
)

# fmt: off
ART = (
    ("fill", "sky", (
        (12, 712), (12, 110), (50, 40), (130, 14), (270, 14), (350, 40), (388, 110), (388, 712))),
    ("smooth", "high_sky", ((40, 120), (110, 40), (200, 26), (300, 44), (350, 120), (200, 150))),
    ("smooth", "cloud", ((52, 196), (84, 178), (118, 186), (128, 204), (96, 212), (62, 210))),
    ("smooth", "cloud", ((236, 330), (270, 312), (300, 322), (306, 340), (274, 346), (244, 344))),
    ("fill", "far_hill", (
        (14, 560), (14, 462), (40, 442), (72, 428), (104, 430), (140, 444), (166, 446), (200, 428),
        (236, 412), (268, 414), (310, 434), (360, 456), (360, 560))),
    ("fill", "hill", ((12, 712), (12, 520), (90, 480), (190, 470), (290, 486), (360, 520), (360, 712))),
    ("fill", "kite_red", ((188, 356), (226, 402), (188, 470), (150, 402))),
    ("fill", "kite_gold", ((188, 356), (226, 402), (188, 402))),
    ("fill", "kite_gold", ((188, 470), (150, 402), (188, 402))),
    ("curve", "string", 2, ((188, 470), (196, 500), (178, 530), (190, 560), (184, 590))),
    ("fill", "lane", ((364, 712), (364, 160), (386, 160), (386, 712))),
    ("line", "wall", 4, ((362, 712), (362, 160))),
    ("curve", "wall", 5, (
        (12, 712), (12, 400), (12, 110), (50, 40), (130, 14), (270, 14), (350, 40), (388, 110), (388, 400),
        (388, 712))),
    ("line", "wall", 4, ((44, 210), (44, 330))),
    ("line", "wall", 4, ((96, 80), (96, 112))),
    ("line", "wall", 4, ((156, 64), (156, 100))),
    ("line", "wall", 4, ((222, 64), (222, 100))),
    ("line", "wall", 4, ((282, 80), (282, 112))),
    ("line", "wall", 4, ((40, 490), (40, 566))),
    ("line", "wall", 4, ((70, 490), (70, 560), (126, 606))),
    ("line", "wall", 4, ((334, 490), (334, 566))),
    ("line", "wall", 4, ((306, 490), (306, 560), (250, 606))),
    ("line", "wall", 6, ((344, 236), (344, 404))),
    ("disc", "dark", 188, 268, 20),
    ("fill", "dark", ((120, 690), (262, 690), (262, 712), (120, 712))),
    ("line", "wall", 4, ((262, 688), (362, 676))),
    ("text", "text", 26, 190, 44, "KITE DAY"),
    ("text", "faint", 12, 96, 168, "THERMAL"),
    ("text", "faint", 12, 282, 168, "THERMAL"),
    ("text", "faint", 12, 188, 234, "UPDRAFT"),
    ("text", "faint", 12, 66, 268, "REEL"),
    ("text", "faint", 10, 38, 446, "SPECIAL"),
    ("text", "faint", 12, 190, 702, "OUTHOLE"),
)
# fmt: on

INSERTS = (
    # lamp, shape, x, y, size, angle, label, label's x and y from the insert's middle (0, 0: on it)
    ("breeze.1", "round", 126, 132, 9, 0, "", 0, 0),
    ("breeze.2", "round", 189, 122, 9, 0, "", 0, 0),
    ("breeze.3", "round", 252, 132, 9, 0, "", 0, 0),
    ("reel", "arrow", 62, 350, 15, -6, "REEL", 0, 24),
    ("height.1", "round", 146, 314, 10, 0, "5000", 0, 19),
    ("height.2", "round", 188, 318, 10, 0, "10000", 0, 19),
    ("height.3", "round", 230, 314, 10, 0, "20000", 0, 19),
    ("extra_ball", "hexagon", 236, 258, 14, 0, "EXTRA", 0, 22),
    ("worth.1", "round", 312, 268, 10, 0, "4000", -34, 0),
    ("worth.2", "round", 312, 300, 10, 0, "8000", -34, 0),
    ("worth.3", "round", 312, 332, 10, 0, "16000", -34, 0),
    ("times.2", "hexagon", 160, 524, 16, 0, "2×", 0, 0),
    ("times.3", "hexagon", 216, 524, 16, 0, "3×", 0, 0),
    ("string.1", "round", 158, 566, 10, 0, "10", 0, 20),
    ("string.2", "round", 218, 566, 10, 0, "20", 0, 20),
    ("special", "arrow", 26, 470, 13, 180, "", 0, 0),
    ("again", "round", 188, 622, 12, 0, "AGAIN", 0, 22),
    ("up.1", "square", 34, 690, 9, 0, "1", 0, 0),
    ("up.2", "square", 58, 690, 9, 0, "2", 0, 0),
    ("up.3", "square", 82, 690, 9, 0, "3", 0, 0),
    ("up.4", "square", 106, 690, 9, 0, "4", 0, 0),
    ("start", "round", 286, 700, 8, 0, "START", 34, 0),
    ("tilt", "round", 48, 658, 8, 0, "TILT", 26, 0),
)

SWITCHES = (
    # switch, how it is drawn, x, y, angle
    ("breeze.1", "rollover", 126, 100, 0),
    ("breeze.2", "rollover", 189, 88, 0),
    ("breeze.3", "rollover", 252, 100, 0),
    ("tail.1", "drop", 340, 256, 270),
    ("tail.2", "drop", 340, 296, 270),
    ("tail.3", "drop", 340, 336, 270),
    ("tail.4", "drop", 340, 376, 270),
    ("reel", "spinner", 28, 280, 0),
    ("updraft", "hole", 188, 268, 0),
    ("return.left", "rollover", 55, 530, 0),
    ("return.right", "rollover", 320, 530, 0),
    ("outlane.left", "rollover", 26, 530, 0),
    ("outlane.right", "rollover", 348, 530, 0),
    ("outhole", "slot", 240, 702, 0),
    ("lane", "rollover", 375, 640, 0),
    ("eos.left", "dot", 118, 624, 0),
    ("eos.right", "dot", 258, 624, 0),
)

BUMPERS = (
    # switch, coil, lamp, x, y, radius
    ("thermal.left", "thermal.left", "thermals", 118, 208, 28),
    ("thermal.right", "thermal.right", "thermals", 258, 208, 28),
)

SLINGS = ()

FLIPPERS = (
    # strong winding, hold winding, button, pivot, length, angle at rest, angle when up
    ("flipper.left.strong", "flipper.left.hold", "button.left", (130, 604), 46, 120, 62),
    ("flipper.right.strong", "flipper.right.hold", "button.right", (246, 604), 46, 240, 298),
)

KICKERS = (
    # coil, x, y, angle of the kick, label
    ("outhole_kick", 262, 704, 75, ""),
    ("updraft_eject", 188, 284, 170, ""),
    ("tail_reset", 354, 316, 0, ""),
)

FLASHERS = ()

POINTS = (
    # where routes lead that have no switch of their own, and where bumpers are touched
    ("thermal.left", 132, 242),
    ("thermal.right", 244, 242),
    ("lane.2", 375, 614),
    ("lane.3", 375, 590),
    ("lane.middle", 375, 380),
    ("lane.top", 375, 170),
    ("under_thermals", 188, 250),
    ("updraft.rim", 188, 300),
    ("tail.behind", 352, 320),
    ("outlane.left.end", 26, 640),
    ("outlane.right.end", 348, 640),
    ("outhole.top", 200, 684),
    ("outhole.out", 320, 690),
    ("drain.middle", 188, 668),
    ("flipper.left", 150, 600),
    ("flipper.right", 226, 600),
)

# fmt: off
PATHS = (
    # from, to, the points a ball passes on the way
    ("lane.top", "breeze.1", ((370, 90), (320, 44), (200, 40), (126, 62))),
    ("lane.top", "breeze.2", ((370, 90), (320, 44), (230, 48), (189, 58))),
    ("lane.top", "breeze.3", ((370, 90), (320, 46), (270, 56))),
    ("lane.top", "thermal.right", ((370, 90), (330, 56), (310, 120), (290, 170))),
    ("lane.top", "under_thermals", ((370, 90), (330, 56), (310, 120), (220, 190))),
    ("reel", "breeze.1", ((28, 140), (54, 62), (100, 44), (124, 60))),
    ("reel", "breeze.2", ((28, 140), (54, 62), (120, 44), (184, 56))),
    ("reel", "breeze.3", ((28, 140), (54, 62), (120, 44), (236, 52))),
    ("reel", "thermal.right", ((28, 140), (60, 100), (110, 140), (188, 180))),
    ("reel", "under_thermals", ((28, 140), (60, 100), (110, 140), (180, 190))),
    ("return.left", "flipper.left", ((55, 566), (110, 600))),
    ("return.right", "flipper.right", ((320, 566), (270, 600))),
    ("outhole", "outhole.out", ((280, 690),)),
    ("outhole.out", "lane.3", ((356, 680), (375, 660))),
)
# fmt: on

HIDDEN_PLACES = ()
