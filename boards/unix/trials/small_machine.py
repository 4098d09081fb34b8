"""A small machine for trials of scan, reflexes and coil limits."""


class SmallMachine:
    """The tables of a game's wiring module: each kind of coil, reflex and heat row at least once.

    The entries of each row are those of hil.game_tables, in that order.
    """

    SWITCHES = (
        ("bumper.1", "bumper", "playfield", 1, 1),
        ("bumper.2", "bumper", "playfield", 3, 8),
        ("sling", "sling", "playfield", 8, 2),
        ("button", "flipper", "cabinet", 0, 1),
        ("stroke", "flipper", "cabinet", 0, 3),
        ("target", "target", "playfield", 2, 5),
        ("coin", "coin", "cabinet", 0, 16),
    )
    LAMPS = ()
    COILS = (
        ("kick.1", "snap", 20, 30, 60, 3),
        ("kick.2", "snap", 20, 30, 60, 4),
        ("sling", "snap", 25, 30, 90, 5),
        ("strong", "flipper", 40, 60, 10, 6),
        ("hold", "flipper", -1, 0, 0, 25),
        ("eject", "queued", 30, 60, 300, 24),
    )
    REFLEXES = (("bumper.1", "kick.1", 20, 80), ("bumper.2", "kick.2", 20, 80), ("sling", "sling", 25, 60))
    FLIPPERS = (("button", "stroke", "strong", "hold", 40),)
    HEAT = (("kick.1", 9000, 400, 5), ("kick.2", 9000, 100_000, 90), ("strong", 16000, 4000, 10))
    SUPPLY_MA = 20000
