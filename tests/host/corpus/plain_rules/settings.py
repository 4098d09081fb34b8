"""The kit room's settings."""

SETTINGS = (
    # name, default, least, most, unit, meaning
    ("balls", 3, 1, 5, "balls", "balls in a game"),
    ("ball_save", 0, 0, 20, "s", "how long a drained ball is given back; 0 never"),
    ("tilt_warnings", 2, 0, 3, "warnings", "swings of the bob before a tilt"),
    ("plunge_after", 30, 0, 120, "s", "when a ball left in the shooter lane is plunged; 0 never"),
    ("restart", 1, 0, 2, "choice", "start held in a later ball is a new game: 0 no, 1 in free play, 2 yes"),
    ("free_play", 1, 0, 1, "yes", "games cost nothing"),
    ("coins_1", 1, 1, 10, "coins", "coins of chute 1 for a credit"),
    ("coins_2", 1, 1, 10, "coins", "coins of chute 2 for a credit"),
    ("calm_lamps", 1, 0, 1, "yes", "no lamp blinks faster than 2.5 times a second"),
)
