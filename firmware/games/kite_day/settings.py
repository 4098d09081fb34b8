"""Kite Day's operator settings."""

SETTINGS = (
    # name, default, least, most, unit, meaning
    ("balls", 3, 3, 5, "balls", "balls in a game"),
    ("tilt_warnings", 0, 0, 3, "warnings", "swings of the bob before a tilt"),
    ("restart", 1, 0, 2, "choice", "start held in a later ball is a new game: 0 no, 1 in free play, 2 yes"),
    ("free_play", 0, 0, 1, "yes", "games cost nothing"),
    ("coins_1", 1, 1, 10, "coins", "coins of chute 1 for a credit"),
    ("coins_2", 1, 1, 10, "coins", "coins of chute 2 for a credit"),
    ("match", 10, 0, 50, "%", "chance of each player's last two digits; 0 no match"),
    ("replay_1", 110_000, 0, 9_000_000, "points", "first replay; 0 none"),
    ("replay_2", 190_000, 0, 9_000_000, "points", "second replay; 0 none"),
    ("extra_balls", 1, 0, 3, "balls", "extra balls a player can win in a game"),
    ("special", 1, 0, 2, "choice", "a special is: 0 points, 1 a credit, 2 an extra ball"),
    ("best_credits", 1, 0, 3, "credits", "credits for beating the best score"),
    ("calm_lamps", 1, 0, 1, "yes", "no lamp blinks faster than 2.5 times a second"),
)
