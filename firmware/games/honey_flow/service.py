"""What only the operator's pages need: presets, and which switch answers which coil."""

from firmware.games.honey_flow.wiring import COILS, FLIPPERS, LAMPS, SWITCHES, TROUGH

EACH = (
    # setting, roomy, even, tight
    ("balls", 5, 3, 3),
    ("ball_save", 12, 8, 4),
    ("tilt_warnings", 3, 2, 1),
    ("multiplier_each_ball", 0, 0, 1),
    ("nectar_turns", 25, 40, 60),
    ("extra_balls", 4, 2, 1),
    ("special", 0, 0, 0),
    ("consolation", 300_000, 150_000, 75_000),
    ("wheel_odds", 0, 1, 2),
    ("match", 15, 10, 5),
    ("replay_1", 700_000, 1_000_000, 2_000_000),
    ("replay_2", 1_800_000, 2_500_000, 5_000_000),
)

PRESETS = (
    ("ROOMY", tuple([(name, roomy) for name, roomy, _even, _tight in EACH])),
    ("EVEN", tuple([(name, even) for name, _roomy, even, _tight in EACH])),
    ("TIGHT", tuple([(name, tight) for name, _roomy, _even, tight in EACH])),
)

ANSWERS = (
    # coil, switch, 1: it closes, 0: it opens
    ("trough_eject", "lane", 1),
    ("auto_plunger", "lane", 0),
    ("porch_eject", "porch", 0),
    ("hive_eject", "hive.1", 0),
    ("keeper_reset", "keeper", 0),
    ("flipper.left.strong", "eos.left", 1),
    ("flipper.right.strong", "eos.right", 1),
    ("wheel_motor", "wheel.index", 1),
)

SERVICE = (SWITCHES, LAMPS, COILS, FLIPPERS, TROUGH, PRESETS, ANSWERS)
