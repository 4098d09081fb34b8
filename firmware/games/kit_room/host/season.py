"""How well players aim in the kit room: shot odds by skill, invented."""

_SHOTS = (
    ("vice", 30),
    ("anvil", 20),
    ("saw", 15),
    ("left_bench", 15),
    ("right_bench", 15),
    ("left_sling", 5),
)

SHOT_ODDS = (
    ("new", (*_SHOTS, ("drain", 40))),
    ("regular", (*_SHOTS, ("drain", 20))),
    ("keen", (*_SHOTS, ("drain", 10))),
)
