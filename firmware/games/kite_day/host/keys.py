"""Kite Day on the keyboard: what each key does at the desk. Shots follow the playfield from left to right."""

KEYS = (
    # heading, ((key as pygame names it, "switch", "latch" or "shot", name, label), ...)
    (
        "cabinet",
        (
            ("left shift", "switch", "button.left", "left flipper"),
            ("right shift", "switch", "button.right", "right flipper"),
            ("return", "switch", "start", "start"),
            ("insert", "switch", "coin.1", "coin"),
            ("tab", "switch", "tilt", "tilt bob"),
            ("delete", "switch", "slam", "slam"),
        ),
    ),
    (
        "coin door and service pad",
        (
            ("f4", "latch", "door", "coin door open"),
            ("f5", "switch", "pad.leave", "leave"),
            ("f6", "switch", "pad.less", "less"),
            ("f7", "switch", "pad.more", "more"),
            ("f8", "switch", "pad.open", "open"),
            ("f9", "latch", "service_key", "service key"),
        ),
    ),
    (
        "plunger and drain",
        (
            ("space", "shot", "plunge", "plunge"),
            ("left ctrl", "shot", "short_plunge", "plunge too short"),
            ("backspace", "shot", "drain", "drain"),
            ("1", "shot", "left_outlane", "left outlane"),
            ("2", "shot", "left_return", "left return lane"),
            ("9", "shot", "right_return", "right return lane"),
            ("0", "shot", "right_outlane", "right outlane"),
        ),
    ),
    (
        "shots, left to right",
        (
            ("q", "shot", "reel", "reel"),
            ("w", "shot", "left_thermal", "left thermal"),
            ("e", "shot", "updraft", "updraft"),
            ("r", "shot", "right_thermal", "right thermal"),
            ("t", "shot", "tail_1", "tail 1"),
            ("y", "shot", "tail_2", "tail 2"),
            ("u", "shot", "tail_3", "tail 3"),
            ("i", "shot", "tail_4", "tail 4"),
            ("a", "shot", "breeze_1", "breeze lane 1"),
            ("s", "shot", "breeze_2", "breeze lane 2"),
            ("d", "shot", "breeze_3", "breeze lane 3"),
        ),
    ),
)
