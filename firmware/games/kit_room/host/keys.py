"""The kit room on the keyboard: what each key does at the desk."""

KEYS = (
    # heading, ((key as pygame names it, "switch" or "shot", name, label), ...)
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
        "shots",
        (
            ("space", "shot", "plunge", "plunge"),
            ("backspace", "shot", "drain", "drain"),
            ("q", "shot", "left_bench", "left bench lane"),
            ("w", "shot", "vice", "vice"),
            ("e", "shot", "anvil", "anvil"),
            ("r", "shot", "saw", "saw"),
            ("t", "shot", "right_bench", "right bench lane"),
            ("a", "shot", "left_sling", "left sling"),
            ("d", "shot", "right_sling", "right sling"),
        ),
    ),
)
