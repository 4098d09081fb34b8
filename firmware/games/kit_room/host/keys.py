"""The kit room's shots on the keyboard; the cabinet's keys are made from host/machine.py."""

KEYS = (
    # heading, ((key as pygame names it, "switch" or "shot", name, label), ...)
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
