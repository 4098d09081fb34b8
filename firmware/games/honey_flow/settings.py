"""Honey Flow's operator settings; values are those of the even preset."""

SETTINGS = (
    # name, default, least, most, unit, meaning
    ("balls", 3, 1, 5, "balls", "balls in a game"),
    ("ball_save", 8, 0, 20, "s", "how long a drained ball is given back; 0 never"),
    ("tilt_warnings", 2, 0, 3, "warnings", "swings of the bob before a tilt"),
    ("plunge_after", 30, 0, 120, "s", "when a ball left in the shooter lane is plunged; 0 never"),
    ("restart", 1, 0, 2, "choice", "start held in a later ball is a new game: 0 no, 1 in free play, 2 yes"),
    ("free_play", 1, 0, 1, "yes", "games cost nothing"),
    ("coins_1", 1, 1, 10, "coins", "coins of chute 1 for a credit"),
    ("coins_2", 1, 1, 10, "coins", "coins of chute 2 for a credit"),
    ("match", 10, 0, 50, "%", "chance of each player's last two digits; 0 no match"),
    ("replay_1", 1_000_000, 0, 100_000_000, "points", "first replay; 0 none"),
    ("replay_2", 2_500_000, 0, 100_000_000, "points", "second replay; 0 none"),
    ("multiplier_each_ball", 0, 0, 1, "yes", "the bonus multiplier goes back to 1 with each ball"),
    ("nectar_turns", 40, 20, 80, "turns", "spinner turns that light Nectar Flow"),
    ("extra_balls", 2, 0, 5, "balls", "extra balls a player can win in a game"),
    ("special", 0, 0, 2, "choice", "a special is: 0 points, 1 a credit, 2 an extra ball"),
    (
        "consolation",
        150_000,
        0,
        2_000_000,
        "points",
        "a last ball that starts below this lights the extra ball",
    ),
    ("wheel_odds", 1, 0, 2, "choice", "the Queen's Wheel is: 0 roomy, 1 even, 2 tight"),
    ("calm_lamps", 1, 0, 1, "yes", "no lamp blinks faster than 2.5 times a second"),
)
