"""A skill shot, a ramp, a kickback, a coincidence."""

import re
from typing import cast

from hil.authoring.errors import near_miss
from hil.authoring.kind import (
    COIL,
    NUMBER,
    ONE_OF,
    POINTS_OR_NONE,
    ROW,
    SECONDS,
    SEVERAL,
    SHOT,
    TEXT,
    Field,
    Kind,
    Rule,
    Scope,
)
from hil.authoring.kinds.banks import row
from hil.authoring.kinds.fields import EFFECTS, LAMP_OF_ITS_OWN, MADE_BY, PAYS
from hil.authoring.values import Shot
from hil.authoring.words import as_name, joined, spoken

WHILE = re.compile(r"(.+) is (\w+)")


def skill_shot(rule: Rule, scope: Scope) -> None:
    """The landing switches with what each pays."""
    values = rule.values
    values["lasts"] = "ball"
    row(rule, scope, "lands_on")
    aimed = values["aimed"] = values["moved_by"] == "flippers"
    values["part"] = "AimedPlunge" if aimed else "GradedPlunge"
    values["lamps"] = list(cast("tuple[str, ...]", values["switches"])) if aimed else []
    switches, pays = cast("tuple[str, ...]", values["switches"]), cast("tuple[int, ...]", values["pays"])
    if len(pays) == 1:
        pays = pays * len(switches)
    if len(pays) != len(switches):
        raise ValueError(
            f"pays {len(pays)} values for {len(switches)} landings; give one each, or one for all"
        )
    values["worth"] = ", ".join(f"{each:_}" for each in pays)
    values["landings"] = [f"`{name}` {each:,}" for name, each in zip(switches, pays, strict=True)]
    values["landing_words"] = ", ".join(cast("list[str]", values["landings"]))
    hit = len(switches) // 2 if aimed else len(switches) - 1
    values["first"], values["hit"], values["hit_pays"] = switches[0], switches[hit], pays[hit]
    after = (hit + 1) % len(switches)
    values["next"], values["next_pays"] = switches[after], pays[after]
    values["landing_code"] = joined([f"`{name}`" for name in switches])
    values["best"] = max(pays)
    factor = cast(int, values["times"])
    values["grows"] = factor > 1
    values["second_pays"] = pays[hit] * 2
    values["grow_words"] = f", times the number of plunges, {factor} at most" if factor > 1 else ""
    values["elsewhere"] = scope.shots.elsewhere(switches)


def ramp(rule: Rule, scope: Scope) -> None:
    """The two switches of a ramp, and whether the game has an event for the made ramp already."""
    values = rule.values
    shot = cast(Shot, values["ramp"])
    enter = next((name for name in shot.switches if name.endswith(".enter")), "")
    made = next((name for name in shot.switches if name.endswith(".made")), "")
    if not enter or not made:
        raise ValueError(
            f"has the ramp '{shot.names[0]}', which has no switches such as 'ramp.enter' and 'ramp.made'"
        )
    values["enter"], values["made"] = enter, made
    values["known"] = bool(shot.offer)
    values["base"] = "Feature" if shot.offer else "Ramp"
    values["ramp_words"] = spoken(shot.names[0])
    values["event"] = shot.offer or f"made.{shot.names[0]}"
    values["elsewhere"] = scope.shots.elsewhere(shot.switches)


def kickback(rule: Rule, scope: Scope) -> None:
    """The outlane of a kickback, and what lights it again."""
    values = rule.values
    lane = cast(Shot, values["at"])
    values["lane"] = lane.switches[0] if lane.switches else ""
    if not values["lane"]:
        raise ValueError(f"stands at '{lane.names[0]}', which is no switch")
    lit, by_rule = cast("Shot | None", values["lit_by"]), cast("Shot | None", values.get("light_by_rule"))
    events = [*([lit.event] if lit else []), *([f"{rule.name}.light"] if by_rule else [])]
    values["light_events"] = " ".join(events)
    values["lighter"] = lit or by_rule
    values["lit_words"] = f"; {cast(Shot, values['lighter']).words} lights it again" if events else ""
    values["lit_code"] = f" and by {cast(Shot, values['lighter']).code}" if events else ""
    values["shot"] = scope.shots.shot_of(cast(str, values["lane"]))


def coincidence(rule: Rule, scope: Scope) -> None:
    """The state of the other rule, checked against its chart."""
    values = rule.values
    found = WHILE.fullmatch(str(values["while"]))
    if not found:
        raise ValueError(
            f"takes 'while' a rule and its state, such as 'Nectar Flow is running', not '{values['while']}'"
        )
    other, state = as_name(found[1]), found[2]
    states = scope.facts.states
    if other not in states:
        raise ValueError(
            f"has 'while {values['while']}', but no rule '{other}' above it{near_miss(other, states)}"
        )
    if state not in states[other]:
        near = near_miss(state, states[other])
        raise ValueError(f"has 'while {values['while']}', but '{other}' is never '{state}'{near}")
    values["other"], values["state"] = other, state
    pays = cast(int, values["pays"])
    values["prize"] = f"pays {pays:,} besides" if pays else "counts besides"
    values["proof"] = f"award {rule.name}.made paid" if pays else f"event {rule.name}.done posted"
    values["disproof"] = f"award {rule.name}.made not paid" if pays else f"event {rule.name}.done not posted"
    values["other_words"] = f"{spoken(other)} is {state.replace('_', ' ')}"
    values["brings"] = Shot("", (other,), scope.shots.in_state(other, state), spoken=(other,))


KINDS = (
    Kind(
        "skill shot",
        "a plunge paid by where it lands",
        (
            Field("lands on", "On which switches can the plunge land? (top, or top.1, top.2)", ROW),
            Field(
                "pays", "What does each pay? (5,000, 10,000, 20,000; or one for all)", SEVERAL, "5,000", True
            ),
            Field(
                "moved by",
                "What moves the flash to the one that pays? (flippers; nothing: each pays)",
                ONE_OF("flippers", "nothing"),
                "nothing",
            ),
            Field(
                "times",
                "Times the number of the player's plunges, up to how many? (1: no)",
                NUMBER(1, 10),
                "1",
            ),
            *EFFECTS,
        ),
        skill_shot,
    ),
    Kind(
        "ramp",
        "a ramp that counts when it is made",
        (Field("ramp", "Which ramp? (its switches are NAME.enter and NAME.made)", SHOT), PAYS, *EFFECTS),
        ramp,
    ),
    Kind(
        "kickback",
        "one ball kicked out of an outlane, and a moment's grace",
        (
            Field("at", "At which outlane?", SHOT),
            Field("coil", "Which coil kicks?", COIL),
            Field("for", "For how long is a drain given back afterwards?", SECONDS, "3 s", True),
            Field("lit by", "What lights it again? (empty: only each ball's start)", SHOT, ""),
            LAMP_OF_ITS_OWN,
        ),
        kickback,
        saves=True,
        hears=("light",),
    ),
    Kind(
        "coincidence",
        "something extra when two rules meet",
        (
            MADE_BY,
            Field("while", "While which rule is in which state? (Nectar Flow is running)", TEXT),
            Field(
                "pays",
                "What does it pay? (nothing, when it does something else)",
                POINTS_OR_NONE,
                "10,000",
                True,
            ),
            *EFFECTS,
        ),
        coincidence,
    ),
)
