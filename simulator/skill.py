"""How good simulated players are, from a first-timer to an expert.

Aimed ball times: what designers commonly tune for, without a source; measured ones are in the page of
`inlane tune`. They hold for the demo; another playfield has its own. Timings are the same
spreads by Honey Flow's map of shots, where 1 ms turns a late shot by about 0.35°.
"""

from typing import NamedTuple

from firmware.base.errors import GameError


class Skill(NamedTuple):
    """A player who sees what is lit.

    `looks`: per cent of shots aimed at something lit, others go where the ball takes them. `spread`: standard
    deviation of an aimed shot, tenths of a degree; `timing`: that of a flip's time, ms, where a map of shots
    is used. `drains`, `sides`: in 1,000 s of a ball, how often it goes down between the flippers and how
    often to an outlane. `nudges`: per cent of balls at an outlane that a nudge saves. `traps`: per cent of
    shots from a ball at rest: half the spread and half the danger, but later. `waits`: holds a ball while
    another one is under way. `plans`: plays several balls one by one, and the best lit shot instead of any.
    `ball_s`: the aimed mean ball time.
    """

    name: str
    looks: int
    spread: int
    timing: int
    drains: int
    sides: int
    nudges: int
    traps: int
    waits: bool
    plans: bool
    ball_s: int


SKILLS = (
    Skill("first_timer", 15, 120, 34, 66, 44, 0, 0, False, False, 20),
    Skill("casual", 35, 90, 26, 44, 29, 5, 10, False, False, 30),
    Skill("steady", 55, 60, 17, 31, 20, 20, 30, False, False, 45),
    Skill("league", 75, 40, 11, 22, 16, 35, 50, True, False, 75),
    Skill("expert", 90, 25, 7, 11, 11, 50, 70, True, True, 120),
)
NAMES = tuple(skill.name for skill in SKILLS)


def skill_of(name: str) -> Skill:
    """The skill of this name. Raises GameError that names the known ones."""
    if name not in NAMES:
        raise GameError(f"there is no skill '{name}'; players that see are {', '.join(NAMES)}")
    return SKILLS[NAMES.index(name)]
