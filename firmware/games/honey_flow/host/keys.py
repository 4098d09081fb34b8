"""Honey Flow's shots on the keyboard; the cabinet's keys are made from host/machine.py.

A "shot" key lets a waiting ball make that shot. The rows of keys follow the playfield from left to right.
The desk's own keys are not listed here.
"""

KEYS = (
    # heading, ((key as pygame names it, "switch", "latch" or "shot", name, label), ...)
    (
        "plunger and drain",
        (
            ("space", "shot", "plunge", "plunge"),
            ("left ctrl", "shot", "short_plunge", "plunge too short"),
            ("backspace", "shot", "drain", "drain"),
            ("1", "shot", "left_outlane", "left outlane"),
            ("2", "shot", "left_inlane", "left inlane"),
            ("3", "shot", "left_sling", "left sling"),
            ("8", "shot", "right_sling", "right sling"),
            ("9", "shot", "right_inlane", "right inlane"),
            ("0", "shot", "right_outlane", "right outlane"),
        ),
    ),
    (
        "shots, left to right",
        (
            ("q", "shot", "left_orbit", "left orbit"),
            ("w", "shot", "left_ramp", "left ramp"),
            ("e", "shot", "hive", "hive"),
            ("r", "shot", "cell", "queen's cell"),
            ("t", "shot", "spot", "spot"),
            ("y", "shot", "right_ramp", "right ramp"),
            ("u", "shot", "right_orbit", "right orbit"),
            ("i", "shot", "left_ramp_short", "left ramp, rolls back"),
            ("o", "shot", "right_ramp_short", "right ramp, rolls back"),
        ),
    ),
    (
        "targets",
        (
            ("a", "shot", "smoker_1", "smoker 1"),
            ("s", "shot", "smoker_2", "smoker 2"),
            ("d", "shot", "smoker_3", "smoker 3"),
            ("f", "shot", "frame_1", "frame 1"),
            ("g", "shot", "frame_2", "frame 2"),
            ("h", "shot", "frame_3", "frame 3"),
            ("j", "shot", "frame_4", "frame 4"),
        ),
    ),
    (
        "bees and meadow",
        (
            ("z", "shot", "bee_1", "bee lane 1"),
            ("x", "shot", "bee_2", "bee lane 2"),
            ("c", "shot", "bee_3", "bee lane 3"),
            ("v", "shot", "meadow_1", "bumper 1"),
            ("b", "shot", "meadow_2", "bumper 2"),
            ("n", "shot", "meadow_3", "bumper 3"),
        ),
    ),
)
