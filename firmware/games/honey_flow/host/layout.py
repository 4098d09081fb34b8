"""Honey Flow's playfield as drawn: an apiary meadow seen from above, in units of its own (560 × 1000).

x grows to the right, y towards the player; angles are degrees clockwise from "away from the player".
"""

from firmware.games.honey_flow.host.art import ART, COLOURS

__all__ = ["ART", "COLOURS"]

SIZE = (560, 1000)
BALL_RADIUS = 12

INSERTS = (
    # lamp, shape, x, y, size, angle, label, label's x and y from the insert's middle (0, 0: on it)
    ("bee.1", "round", 255, 106, 13, 0, "1", 0, 0),
    ("bee.2", "round", 305, 106, 13, 0, "2", 0, 0),
    ("bee.3", "round", 355, 106, 13, 0, "3", 0, 0),
    ("times.2", "round", 190, 782, 15, 0, "2×", 0, 0),
    ("times.3", "round", 227, 766, 15, 0, "3×", 0, 0),
    ("times.4", "round", 266, 760, 15, 0, "4×", 0, 0),
    ("times.5", "round", 305, 766, 15, 0, "5×", 0, 0),
    ("times.6", "round", 342, 782, 15, 0, "6×", 0, 0),
    ("jar", "hexagon", 266, 650, 28, 0, "JAR", 0, 0),
    ("waggle", "hexagon", 266, 598, 27, 0, "WAGGLE", 0, 0),
    ("special", "hexagon", 311, 624, 27, 0, "SPECIAL", 0, 0),
    ("seal", "hexagon", 311, 676, 27, 0, "SEAL", 0, 0),
    ("extra_ball", "hexagon", 266, 702, 27, 0, "EXTRA", 0, 0),
    ("lock", "hexagon", 221, 676, 27, 0, "LOCK", 0, 0),
    ("nectar", "hexagon", 221, 624, 27, 0, "NECTAR", 0, 0),
    ("spinner", "arrow", 44, 440, 13, 0, "", 0, 0),
    ("orbit_left", "arrow", 58, 478, 17, -24, "2× TIME", 52, 4),
    ("dance.1", "round", 82, 520, 12, 0, "1", 0, 0),
    ("swarm", "arrow", 146, 474, 17, -20, "SWARM", 34, 14),
    ("lock.1", "round", 189, 350, 9, 0, "1", 0, 0),
    ("lock.2", "round", 221, 350, 9, 0, "2", 0, 0),
    ("cell", "arrow", 290, 472, 18, 4, "CELL", 0, 30),
    ("ladder", "arrow", 408, 472, 18, 24, "LADDER", -44, 2),
    ("rung.5", "bar", 394, 502, 15, 24, "5", 0, 0),
    ("rung.4", "bar", 382, 528, 15, 24, "4", 0, 0),
    ("rung.3", "bar", 370, 554, 15, 24, "3", 0, 0),
    ("rung.2", "bar", 358, 580, 15, 24, "2", 0, 0),
    ("rung.1", "bar", 346, 606, 15, 24, "1", 0, 0),
    ("dance.2", "round", 434, 496, 12, 0, "2", 0, 0),
    ("pollen", "arrow", 486, 458, 18, 14, "POLLEN", -10, 30),
    ("dance.3", "round", 456, 526, 12, 0, "3", 0, 0),
    ("smoker.1", "round", 58, 552, 11, 0, "1", 0, 0),
    ("smoker.2", "round", 58, 586, 11, 0, "2", 0, 0),
    ("smoker.3", "round", 58, 620, 11, 0, "3", 0, 0),
    ("frame.1", "square", 478, 552, 11, 0, "1", 0, 0),
    ("frame.2", "square", 478, 586, 11, 0, "2", 0, 0),
    ("frame.3", "square", 478, 620, 11, 0, "3", 0, 0),
    ("frame.4", "square", 478, 654, 11, 0, "4", 0, 0),
    ("wheel.1", "round", 422, 578, 10, 0, "5", 0, 0),
    ("wheel.2", "round", 442, 586, 10, 0, "10", 0, 0),
    ("wheel.3", "round", 450, 606, 10, 0, "25", 0, 0),
    ("wheel.4", "round", 442, 626, 10, 0, "50", 0, 0),
    ("wheel.5", "round", 422, 634, 10, 0, "100", 0, 0),
    ("wheel.6", "round", 402, 626, 10, 0, "–", 0, 0),
    ("wheel.7", "round", 394, 606, 10, 0, "2×", 0, 0),
    ("wheel.8", "round", 402, 586, 10, 0, "R", 0, 0),
    ("guard", "round", 42, 728, 12, 0, "GUARD", 0, 19),
    ("outlane.left", "round", 42, 818, 12, 0, "EXTRA", 0, 19),
    ("outlane.right", "round", 491, 818, 12, 0, "EXTRA", 0, 19),
    ("again", "round", 266, 852, 16, 0, "AGAIN", 0, 25),
    ("start", "round", 54, 952, 10, 0, "START", 0, 19),
    ("ball_in_play", "round", 106, 952, 10, 0, "BALL", 0, 19),
    ("tilt", "round", 158, 956, 10, 0, "TILT", 0, 17),
    ("rollover", "round", 218, 966, 8, 0, "OVER 99,999,990", 58, 0),
)

SWITCHES = (
    # switch, how it is drawn, x, y, angle
    ("bee.1", "rollover", 255, 130, 0),
    ("bee.2", "rollover", 305, 130, 0),
    ("bee.3", "rollover", 355, 130, 0),
    ("spinner", "spinner", 44, 392, 0),
    ("orbit.left", "rollover", 44, 316, 0),
    ("orbit.right", "rollover", 493, 330, 0),
    ("ramp_left.enter", "gate", 134, 418, 0),
    ("ramp_left.made", "gate", 134, 226, 0),
    ("ramp_right.enter", "gate", 423, 418, 0),
    ("ramp_right.made", "gate", 423, 226, 0),
    ("smoker.1", "target", 30, 552, 90),
    ("smoker.2", "target", 30, 586, 90),
    ("smoker.3", "target", 30, 620, 90),
    ("frame.1", "target", 506, 552, 90),
    ("frame.2", "target", 506, 586, 90),
    ("frame.3", "target", 506, 620, 90),
    ("frame.4", "target", 506, 654, 90),
    ("keeper", "drop", 292, 416, 0),
    ("spot", "target", 356, 410, 14),
    ("inlane.left", "rollover", 87, 766, 0),
    ("inlane.right", "rollover", 446, 766, 0),
    ("outlane.left", "rollover", 42, 776, 0),
    ("outlane.right", "rollover", 491, 776, 0),
    ("queen_cell", "hole", 292, 376, 0),
    ("porch", "hole", 44, 676, 0),
    ("hive.1", "hole", 205, 390, 0),
    ("hive.2", "hole", 205, 326, 0),
    ("trough.1", "slot", 408, 970, 0),
    ("trough.2", "slot", 376, 970, 0),
    ("trough.3", "slot", 344, 970, 0),
    ("trough.jam", "slot", 440, 970, 0),
    ("lane", "rollover", 529, 900, 0),
    ("eos.left", "dot", 166, 884, 0),
    ("eos.right", "dot", 366, 884, 0),
)

BUMPERS = (
    # switch, coil, lamp, x, y, radius
    ("meadow.1", "bumper.1", "meadow.1", 262, 212, 29),
    ("meadow.2", "bumper.2", "meadow.2", 352, 208, 29),
    ("meadow.3", "bumper.3", "meadow.3", 306, 286, 29),
)

SLINGS = (
    # switch, coil, the two ends of the rubber, the corner behind
    ("sling.left", "sling.left", (116, 704), (166, 836), (116, 800)),
    ("sling.right", "sling.right", (416, 704), (366, 836), (416, 800)),
)

FLIPPERS = (
    # strong winding, hold winding, button, pivot, length, angle at rest, angle when up
    ("flipper.left.strong", "flipper.left.hold", "button.left", (176, 864), 72, 120, 62),
    ("flipper.right.strong", "flipper.right.hold", "button.right", (356, 864), 72, 240, 298),
)

KICKERS = (
    # coil, x, y, angle of the kick, label
    ("trough_eject", 456, 974, 60, ""),
    ("auto_plunger", 529, 950, 0, ""),
    ("kickback", 42, 892, 0, ""),
    ("porch_eject", 44, 700, 120, ""),
    ("hive_eject", 205, 312, 180, ""),
    ("keeper_reset", 322, 418, 0, ""),
)

FLASHERS = (
    # coil, colour, x, y
    ("flash.hive", "amber", 176, 300),
    ("flash.jar", "white", 266, 548),
    ("flash.queen", "violet", 330, 346),
    ("flash.wax", "white", 378, 356),
)

POINTS = (
    # where routes lead that have no switch of their own, and where a bumper or sling is touched
    ("meadow.1", 262, 252),
    ("meadow.2", 352, 248),
    ("meadow.3", 306, 326),
    ("sling.left", 156, 772),
    ("sling.right", 376, 772),
    ("smoker.1", 44, 552),
    ("smoker.2", 44, 586),
    ("smoker.3", 44, 620),
    ("frame.1", 492, 552),
    ("frame.2", 492, 586),
    ("frame.3", 492, 620),
    ("frame.4", 492, 654),
    ("keeper", 292, 436),
    ("spot", 352, 430),
    ("lane.2", 529, 872),
    ("lane.3", 529, 844),
    ("lane.top", 500, 78),
    ("orbit.top", 280, 34),
    ("ramp_left.bend", 134, 290),
    ("ramp_right.bend", 423, 290),
    ("hive.mouth", 205, 420),
    ("outlane.right.end", 491, 890),
    ("drain.middle", 266, 934),
    ("under_bumpers", 330, 360),
    ("cell.back", 292, 362),
    ("porch.top", 44, 660),
    ("porch.2", 44, 656),
    ("porch.3", 44, 652),
    ("kick.top", 46, 520),
    ("flipper.left", 208, 862),
    ("flipper.right", 324, 862),
)

# fmt: off
PATHS = (
    # from, to, the points a ball passes on the way
    ("lane", "lane.top", ((529, 300), (526, 150))),
    ("lane.top", "bee.1", ((400, 36), (300, 40), (255, 74))),
    ("lane.top", "bee.2", ((420, 36), (330, 44), (305, 74))),
    ("lane.top", "bee.3", ((430, 38), (370, 54), (355, 74))),
    ("lane.top", "under_bumpers", ((440, 40), (400, 80), (400, 170))),
    ("orbit.left", "bee.1", ((44, 150), (90, 76), (180, 46), (240, 60))),
    ("orbit.left", "bee.2", ((44, 150), (90, 76), (180, 40), (280, 46))),
    ("orbit.left", "bee.3", ((44, 150), (90, 76), (180, 36), (330, 50))),
    ("orbit.right", "orbit.top", ((494, 170), (470, 90), (400, 44))),
    ("orbit.top", "inlane.left", ((150, 44), (74, 90), (44, 170), (44, 420), (84, 640))),
    ("ramp_left.made", "inlane.right", (
        (134, 200), (154, 156), (300, 150), (448, 174), (460, 260), (460, 480), (447, 724))),
    ("ramp_right.made", "inlane.left", (
        (423, 200), (406, 160), (262, 162), (108, 176), (88, 260), (88, 480), (88, 724))),
    ("inlane.left", "flipper.left", ((88, 816), (150, 852))),
    ("inlane.right", "flipper.right", ((446, 816), (382, 852))),
    ("outlane.right", "outlane.right.end", ((491, 860),)),
    ("outlane.right.end", "drain.middle", ((440, 915), (340, 934))),
    ("outlane.left", "drain.middle", ((42, 900), (100, 915), (200, 934))),
    ("drain.middle", "trough.3", ((300, 948), (330, 960))),
    ("trough.jam", "lane.3", ((470, 960), (500, 940), (529, 910))),
    ("cell.back", "porch.top", ((200, 520), (90, 640))),
)
# fmt: on

HIDDEN_PLACES = ("tunnel",)  # a ball there is under the playfield
