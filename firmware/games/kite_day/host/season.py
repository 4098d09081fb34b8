"""How well players aim in Kite Day: shot odds by skill, invented."""

_SHOTS = (
    ("reel", 16),
    ("left_thermal", 10),
    ("right_thermal", 10),
    ("tail_1", 8),
    ("tail_2", 8),
    ("tail_3", 8),
    ("tail_4", 8),
    ("updraft", 8),
    ("breeze_1", 3),
    ("breeze_2", 3),
    ("breeze_3", 3),
    ("left_return", 7),
    ("right_return", 7),
)

SHOT_ODDS = (
    ("new", (*_SHOTS, ("left_outlane", 5), ("right_outlane", 5), ("drain", 12))),
    ("regular", (*_SHOTS, ("left_outlane", 3), ("right_outlane", 3), ("drain", 6))),
    ("keen", (*_SHOTS, ("left_outlane", 2), ("right_outlane", 2), ("drain", 3))),
)
