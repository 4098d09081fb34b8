"""How well players aim at Honey Flow: shot odds by skill, invented for tuning (weights of 1,000)."""

_SHOTS = (
    ("left_orbit", 90),
    ("right_orbit", 80),
    ("left_ramp", 70),
    ("right_ramp", 80),
    ("left_ramp_short", 30),
    ("right_ramp_short", 30),
    ("smoker_1", 40),
    ("smoker_2", 40),
    ("smoker_3", 40),
    ("frame_1", 35),
    ("frame_2", 35),
    ("frame_3", 35),
    ("frame_4", 35),
    ("spot", 20),
    ("cell", 55),
    ("hive", 45),
    ("bee_1", 10),
    ("bee_2", 10),
    ("bee_3", 10),
    ("meadow_1", 30),
    ("meadow_2", 30),
    ("meadow_3", 30),
    ("left_sling", 25),
    ("right_sling", 25),
    ("left_inlane", 15),
    ("right_inlane", 15),
)


_FAVOURITES = (  # of a player who is after the Swarm and the wheel
    ("frame_1", 160),
    ("frame_2", 160),
    ("frame_3", 160),
    ("frame_4", 160),
    ("hive", 260),
    ("cell", 120),
    ("left_ramp", 150),
    ("left_orbit", 90),
    ("right_orbit", 90),
    ("right_ramp", 90),
    ("bee_1", 40),
    ("bee_2", 40),
    ("bee_3", 40),
)


def _with_drains(drain: int, outlane: int) -> tuple[tuple[str, int], ...]:
    return (*_SHOTS, ("drain", drain), ("left_outlane", outlane), ("right_outlane", outlane))


SHOT_ODDS = (
    ("new", _with_drains(190, 80)),
    ("regular", _with_drains(95, 50)),
    ("keen", _with_drains(45, 25)),
    ("swarmer", (*_FAVOURITES, ("drain", 60), ("left_outlane", 30), ("right_outlane", 30))),
)

# How well each skill times a flip: standard deviation, ms, for `inlane season --map`. Invented for tuning.
SPREADS = (("new", 30), ("regular", 17), ("keen", 10), ("swarmer", 10))

# Soon over, after many a hit of what throws balls out: for counting balls, not for tuning.
SHORT_BALLS = (*_with_drains(1_500, 300), ("hive", 250), ("cell", 200))

# Lamps that ask for a shot while they are lit, with how much a player who plans thinks of it. Banks need no
# row: a lamp named as a target's switch asks while it is dark.
AIMS = (
    ("swarm", "left_ramp", 4),
    ("cell", "cell", 3),
    ("lock", "hive", 3),
    ("dance.3", "right_orbit", 3),
    ("dance.2", "right_ramp", 2),
    ("dance.1", "left_orbit", 1),
    ("ladder", "right_ramp", 2),
    ("pollen", "right_orbit", 2),
    ("orbit_left", "left_orbit", 2),
    ("spinner", "left_orbit", 1),
)

# What of each feature counts as lit, started, collected and topped: a state, an award, an event or a cue.
FUNNELS = (
    ("spring_flight", "spring_flight/aiming", "spring_flight/flying", "spring_flight.landed", ""),
    ("bee_lanes", "", "", "bee_lanes.complete", "bee_lanes.first_full"),
    ("gold_cell", "", "", "gold_cell/found", ""),
    ("nectar_flow", "", "nectar_flow/running", "", ""),
    ("pollen_run", "pollen_run/lit", "", "pollen_run.collected", ""),
    ("smoker_bank", "", "", "smoker_bank.complete", ""),
    ("wax_ladder", "wax_ladder/lit", "wax_ladder.rung_1", "wax_ladder.rung_2", "wax_ladder.rung_5"),
    ("frames_bank", "", "frames_bank.odd", "frames_bank.even", ""),
    ("kept_comb", "kept_comb/sealed", "", "seal.used", ""),
    ("waggle", "waggle/ready", "waggle.first", "waggle.second", "honey_jar.won"),
    ("queens_cell", "gate/down", "queens_cell/turning", "cell.paid", "queens_cell.stop_5"),
    ("hive_lock", "lock.light", "", "hive_lock.ball_held", ""),
    ("swarm", "swarm/ready", "swarm/flying", "swarm.left_ramp", ""),
    ("guard_bee", "", "guard_bee/grace", "guard_bee.given", ""),
    ("extra_ball", "extra_ball.light", "extra_ball/falling", "extra_ball.awarded", ""),
    ("special", "", "", "special.win", ""),
    ("replay", "", "", "replay.reached", ""),
)
