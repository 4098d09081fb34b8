"""What comes at the end of a ball or a game: bonus, lit outlanes, consolation, specials."""

from typing import cast

from hil.authoring.kind import (
    NUMBER,
    POINTS,
    SEVERAL,
    SEVERAL_OF,
    SHOT,
    SHOTS,
    TEXT,
    Field,
    Kind,
    Rule,
    Scope,
    Several,
)
from hil.authoring.kinds.fields import CARD, EFFECTS, LAMP_OF_ITS_OWN, PAYS
from hil.authoring.values import Shot
from hil.authoring.words import as_name, count, joined, spoken

EXTRA_BALL = "extra_ball"
LIT_BY = Field("lit by", "What lights it? (empty: another rule that you describe)", SHOT, "")
CARRYING = "carrying"  # the state of a carried bonus that is lit
SIDES = ("outlane.right", "outlane.left")


def bonus(rule: Rule, scope: Scope) -> None:
    """What counts, what a ball's count is worth, whose multiplier counts."""
    values = rule.values
    counts = cast("list[Shot]", values["counts"])
    values["events"] = " ".join(shot.event for shot in counts)
    values["counted"] = counts
    values["total"] = cast(int, values["each"]) * len(counts)
    most = cast(int, values["at_most"])
    values["first"] = counts[0]
    values["beyond"] = most + 3 if most <= 150 else 0
    values["top"] = cast(int, values["each"]) * most
    values["count_words"] = joined([f"each {spoken(name)}" for shot in counts for name in shot.names], "or")
    values["count_code"] = joined([shot.code for shot in counts], "or")
    values["replaces"] = ("NoBonus",)
    times = values["times"]
    values["times_words"] = f", times the multiplier of the {spoken(str(times))}" if times else ""
    if times and str(times) not in scope.facts.features:
        raise ValueError(f"has 'times {times}', which is no rule above it")
    _carried(rule, scope)
    parts = cast("Several | None", values["parts"])
    values["parts_words"] = f", and every {count(parts.count)} of {parts.shot.words}" if parts else ""
    values["parts_code"] = f", one more for every {parts.count} of {parts.shot.code}" if parts else ""
    values["parts_made"] = list(range(parts.count)) if parts else []


def _carried(rule: Rule, scope: Scope) -> None:
    """The rule that carries a ball's bonus over to the next."""
    values = rule.values
    by = as_name(str(values["carried_by"] or ""))
    values["carried"] = by
    values["finds"] = bool(by or values["times"])
    if not by:
        values["carried_words"] = ""
        return
    if "use" not in scope.facts.methods.get(by, ()):
        raise ValueError(f"has 'carried by {values['carried_by']}', which is no carried bonus above it")
    values["carried_words"] = (
        f"; with {values['carried_by']} lit, {values['carries']} of them at most are carried over"
    )
    values["carrier"] = Shot(by, (by,), scope.shots.in_state(by, CARRYING), spoken=(spoken(by),))


def outlane(rule: Rule, scope: Scope) -> None:
    """What lights an outlane, and the shots down both sides."""
    values = rule.values
    missing = [name for name in SIDES if name not in scope.facts.switches]
    if missing:
        raise ValueError(f"needs a switch '{missing[0]}', which is not wired")
    lighting(rule, scope)
    values["lamps"] = list(SIDES)
    values["elsewhere"] = scope.shots.elsewhere(SIDES)
    values["down_right"] = scope.shots.shot_of("outlane.right")
    values["down_left"] = scope.shots.shot_of("outlane.left")


def lighting(rule: Rule, scope: Scope) -> None:
    """What lights a rule: a shot of its own, or another rule that says so."""
    values = rule.values
    values["lighter"] = values["lit_by"] or values.get("light_by_rule")
    if not values["lighter"] and f"{rule.name}.light" in scope.facts.raised:
        values["lighter"] = scope.shots.find(f"{rule.name}.light")
    if not values["lighter"]:
        raise ValueError(f"has nothing that lights it; say 'lit by', or 'lights {rule.name}' in another rule")
    lit, by_rule = cast("Shot | None", values["lit_by"]), values.get("light_by_rule")
    events = [*([lit.event] if lit else []), *([f"{rule.name}.light"] if by_rule or not lit else [])]
    values["light_events"] = " ".join(events)


def extra_ball(rule: Rule, scope: Scope) -> None:
    """An extra ball is an outlane that gives a ball, under the name that others look for."""
    if rule.name != EXTRA_BALL:
        raise ValueError("has to be called 'Extra Ball', by which name specials find it")
    values = rule.values
    lit = values["lit_by"]
    outlane(rule, scope)
    values["light_events"] = f"{EXTRA_BALL}.light" + (f" {lit.event}" if isinstance(lit, Shot) else "")
    values["by_others"] = "" if values.get("light_by_rule") else "  # meant: other rules may light it"


def consolation(rule: Rule, scope: Scope) -> None:
    """The one rule that a poor game lights."""
    signals = cast("list[object]", rule.values["signals"])
    if len(signals) < 2:
        raise ValueError("does not say what it lights, such as 'lights extra_ball'")
    rule.values["lit"] = signals[1]
    rule.values["says_effects"] = True
    rule.values["lights_words"] = spoken(str(rule.values["lights"]))


def special(rule: Rule, scope: Scope) -> None:
    """What wins a special; replays where scores are given."""
    values = rule.values
    if rule.name != "special":
        raise ValueError("has to be called 'Special', by which name others win it")
    if EXTRA_BALL not in scope.facts.features:
        raise ValueError("may be set to an extra ball, so describe an 'Extra Ball' above it")
    won = cast("Shot | None", values["won_by"])
    values["winner"] = won or values.get("win_by_rule")
    values["win_events"] = "special.win" + (f" {won.event}" if won else "")
    replays = cast("tuple[int, ...] | None", values["replay_at"]) or ()
    if len(replays) > 2:
        raise ValueError(f"has {len(replays)} replay scores; there are two at most")
    values["replays"] = bool(replays)
    values["replay_1"], values["replay_2"] = (*replays, 0, 0)[:2]
    values["cabinet"] = (("replay", "Replay"),) if replays else ()
    raised = replays or values.get("win_by_rule")
    values["by_others"] = "" if raised else "  # meant: other rules may win it"
    scores = joined([f"{each:,}" for each in replays])
    values["replay_words"] = f". Replays at {scores} (settings), each once a player a game" if replays else ""
    values["won_words"] = f"; {won.words} wins it" if won else ""
    values["scoring"] = next(
        (s for a in scope.facts.awards if a.startswith("points.") for s in scope.facts.under(a[7:])), ""
    )


KINDS = (
    Kind(
        "bonus",
        "the end-of-ball bonus",
        (
            Field("counts", "What counts? (bumper, bank, ramp)", SHOTS),
            Field("each", "What is each worth?", POINTS, "1,000", True),
            Field("at most", "How many count at most?", NUMBER(1, 1000), "100", True),
            Field(
                "parts", "Of what do only several count as one? (5 spinner; empty: nothing)", SEVERAL_OF, ""
            ),
            Field("carried by", "Which carried bonus keeps it for the next ball? (empty: none)", TEXT, ""),
            Field("carries", "How many does that keep at most?", NUMBER(1, 1000), "60"),
            Field("times", "Whose multiplier counts? (a rule of lanes; empty: none)", TEXT, ""),
            CARD,
        ),
        bonus,
        last="it is counted when every other rule has heard of the ball's end",
    ),
    Kind(
        "carried bonus",
        "keeps what a ball's bonus counted for the next ball",
        (LIT_BY, LAMP_OF_ITS_OWN, CARD),
        lighting,
        hears=("light",),
    ),
    Kind(
        "extra ball",
        "lit at one outlane, collected only by draining there",
        (
            LIT_BY,
            Field("instead", "What does it pay beyond the limit?", POINTS, "50,000", True),
            Field("again", "What does it pay to be lit again?", POINTS, "25,000", True),
            LAMP_OF_ITS_OWN,
            CARD,
        ),
        extra_ball,
        hears=("light",),
    ),
    Kind(
        "lit outlane",
        "an award at one outlane, collected only by draining there",
        (LIT_BY, PAYS, LAMP_OF_ITS_OWN, *EFFECTS),
        outlane,
        hears=("light",),
    ),
    Kind(
        "consolation",
        "help for a short and poor game",
        (
            Field("below", "Below which score?", POINTS, "100,000", True),
            Field("lights", "Which rule does it light?", TEXT),
            CARD,
        ),
        consolation,
    ),
    Kind(
        "special",
        "points, a credit or an extra ball, as the operator has it",
        (
            PAYS,
            Field("won by", "Which shot wins it? (empty: other rules do)", SHOT, ""),
            Field("replay at", "At which scores besides? (1,000,000, 2,500,000; empty: none)", SEVERAL, ""),
            CARD,
        ),
        special,
        hears=("win",),
    ),
)
