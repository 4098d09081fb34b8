"""Shots one after another: a ladder, a sequence, a combination, a hidden step."""

from typing import cast

from hil.authoring.kind import (
    LAMP,
    NUMBERS,
    POINTS,
    SECONDS,
    SEVERAL,
    SHOT,
    SHOTS,
    TWO_SECONDS,
    Field,
    Kind,
    Rule,
    Scope,
)
from hil.authoring.kinds.fields import EFFECTS, FOR, LAMP_OF_ITS_OWN, LIT_BY, MADE_BY, PAYS, SHOWS
from hil.authoring.kinds.timed import FLASHER, SLACK
from hil.authoring.values import Shot
from hil.authoring.words import count, joined

MOST_SHOTS = 16


def ladder(rule: Rule, scope: Scope) -> None:
    """Rungs, their lamps, their windows."""
    values = rule.values
    pays = cast("tuple[int, ...]", values["pays"])
    if len(pays) < 2:
        raise ValueError("has one rung; a ladder takes two or more, such as 'pays 10,000, 20,000'")
    usual, last = int(cast(int, values["for"])), cast("int | None", values["last"])
    hard = cast("tuple[int, int] | None", values["once_topped"])
    values["windows"] = f"({usual * 1000:_}, {(last or usual) * 1000:_})"
    values["hard"] = f"({hard[0] * 1000:_}, {hard[1] * 1000:_})" if hard else values["windows"]
    values["rungs_words"] = count(len(pays))
    values["pays_tuple"] = ", ".join(f"{each:_}" for each in pays)
    values["pays_words"] = " · ".join(f"{each:,}" for each in pays)
    values["first"], values["second"], values["top"] = pays[0], pays[1], pays[-1]
    values["climbs"] = pays[:-1]
    values["rungs"] = len(pays)
    values["lamps"] = [f"{values['rung_lamps']}.{n}" for n in range(1, len(pays) + 1)]
    values["last_words"] = f", the last {last} s" if last and last != usual else ""
    values["hard_words"] = f"; once topped {hard[0]} s and {hard[1]} s" if hard else ""
    values["late"] = f"{(last or usual) if len(pays) == 2 else usual} s"
    values["late_pause"] = values["late"]
    values["flasher_too"] = flasher_too(rule)
    values["early"] = f"{max(usual - 2, 0) or 0.2} s"
    values["frozen"] = values["freeze"] = (
        scope.shots.freeze([cast(Shot, values["made_by"])]) if usual > 2 else ""
    )


def flasher_too(rule: Rule) -> str:
    """The flasher as an argument of a window; "" for none."""
    flasher = rule.values["flasher"]
    return f', flasher="{flasher}"' if flasher else ""


def steps(rule: Rule, scope: Scope) -> None:
    """The steps of a sequence: each distinct shot with its method."""
    values = rule.values
    shots = cast("list[Shot]", values["shots"])
    if len(shots) < 2:
        raise ValueError("has one shot; a sequence takes two or more, such as 'shots orbit.left, ramp'")
    values["steps_tuple"] = ", ".join(f'"{shot.event}"' for shot in shots)
    values["distinct"] = distinct(shots)
    values["first"], values["last"] = shots[0], shots[-1]
    values["but_last"] = shots[:-1]
    values["after_first"] = shots[1:]
    words = [shot.words for shot in shots]
    values["order_words"] = joined(words, "then")
    values["order_code"] = joined([shot.code for shot in shots], "then")
    values["late"] = f"{int(cast(int, values['for'])) + (SLACK if shots[0].dwells else 0)} s"
    values["in_time"] = f"{int(cast(int, values['for'])) - 1 or 0.5} s"
    values["early"] = f"{max(int(cast(int, values['for'])) - 2, 0) or 0.2} s"
    values["freeze"] = scope.shots.freeze(shots)
    lit = cast("Shot | None", values["lit_by"])
    values["home"] = "ready" if lit else "open"
    values["ready_shots"] = values["distinct"] if lit else []
    values["free_shots"] = [] if lit else values["distinct"]
    values["length"] = len(shots)
    values["lit_code"] = f", lit by {lit.code}" if lit else ""
    values["flasher_too"] = flasher_too(rule)
    values["lit_words"] = f"lit by {lit.words}: " if lit else ""
    values["wrong"] = shots[1].event != shots[0].event


def distinct(shots: "list[Shot]") -> list[tuple[Shot, str]]:
    """Each shot once, with a method's name."""
    found: dict[str, tuple[Shot, str]] = {}
    for shot in shots:
        found.setdefault(shot.event, (shot, shot.names[0].replace(".", "_").replace(" ", "_")))
    return list(found.values())


def chain(rule: Rule, scope: Scope) -> None:
    """The shots of a combination: two to sixteen different ones."""
    values = rule.values
    shots = cast("list[Shot]", values["shots"])
    if not 2 <= len({shot.event for shot in shots}) == len(shots) <= MOST_SHOTS:
        raise ValueError(f"has {len(shots)} shots; a combo takes 2 to {MOST_SHOTS} different ones")
    base, step, cap = (cast(int, values[key]) for key in ("pays", "grows_by", "at_most"))
    if cap < base:
        raise ValueError(f"pays {base:,}, which is above 'at most' {cap:,}")
    values["distinct"] = distinct(shots)
    values["first"], values["second"] = shots[0], shots[1]
    values["third"] = shots[2] if len(shots) > 2 else None
    values["third_pays"] = min(base + step, cap)
    values["any_words"] = joined([shot.words for shot in shots])
    values["any_code"] = joined([shot.code for shot in shots])
    values["late"] = f"{int(cast(int, values['for'])) + (SLACK if shots[0].dwells else 0)} s"


def hidden(rule: Rule, scope: Scope) -> None:
    """The steps one of which is drawn, their odds and inserts."""
    values = rule.values
    numbers = cast("tuple[int, ...]", values["steps"])
    weights = cast("tuple[int, ...]", values["odds"]) if values["odds"] else (1,) * len(numbers)
    if list(numbers) != list(range(numbers[0], numbers[0] + len(numbers))) or len(numbers) < 2:
        raise ValueError(
            f"has the steps {', '.join(map(str, numbers))}; they follow each other, such as 4, 5, 6"
        )
    if len(weights) != len(numbers):
        raise ValueError(f"has {len(weights)} odds for {len(numbers)} steps")
    lamps = [f"{values['step_lamps']}.{n}" for n in numbers]
    values["first"], values["last_step"] = numbers[0], numbers[-1]
    values["weights"] = ", ".join(map(str, weights))
    values["odds_words"] = " : ".join(map(str, weights))
    values["lamps"] = lamps
    values["inserts"] = ", ".join(f'"{name}"' for name in lamps)
    values["steps_words"] = joined([str(n) for n in numbers], "or")
    values["times"] = list(range(numbers[-1]))


KINDS = (
    Kind(
        "ladder",
        "values climbed one shot at a time",
        (
            LIT_BY,
            MADE_BY,
            Field(
                "pays",
                "What does each rung pay? (15,000, 40,000, 90,000)",
                SEVERAL,
                "10,000, 25,000, 50,000",
                True,
            ),
            Field("for", "How long is each rung open after the one before?", SECONDS, "15 s", True),
            Field("last", "How long is the last one open? (empty: as long)", SECONDS, ""),
            Field("once topped", "And once it was topped? (12 s, 6 s; empty: as before)", TWO_SECONDS, ""),
            LAMP_OF_ITS_OWN,
            Field("rung lamps", "What are the rungs' lamps called? (rung: rung.1, rung.2)", LAMP, "{name}"),
            FLASHER,
            *EFFECTS,
        ),
        ladder,
    ),
    Kind(
        "sequence",
        "shots in their order, each in time",
        (
            Field("lit by", "What lights it? (empty: it is always lit)", SHOT, ""),
            Field("shots", "Which shots, in which order? (orbit.left, ramp, ramp)", SHOTS),
            FOR,
            PAYS,
            LAMP_OF_ITS_OWN,
            FLASHER,
            *EFFECTS,
        ),
        steps,
    ),
    Kind(
        "combo",
        "different shots in any order, each soon after the one before",
        (
            Field("shots", "Which shots? (orbit.left, orbit.right, ramp)", SHOTS),
            Field("for", "How soon after the one before?", SECONDS, "4 s", True),
            Field("pays", "What does the second shot pay?", POINTS, "5,000", True),
            Field("grows by", "How much more does each further one pay?", POINTS, "5,000", True),
            Field("at most", "How much at most?", POINTS, "50,000", True),
            LAMP_OF_ITS_OWN,
            SHOWS,
        ),
        chain,
    ),
    Kind(
        "hidden step",
        "one of several steps, drawn when a game starts",
        (
            Field("of", "The steps of which rule? (lanes with a bonus, or a bank)", SHOT),
            Field("steps", "Which steps may it be? (4, 5, 6)", NUMBERS),
            Field("odds", "With which odds? (1, 2, 3; empty: the same)", NUMBERS, ""),
            Field(
                "step lamps", "What are the steps' lamps called? (times: times.4, times.5)", LAMP, "{name}"
            ),
            PAYS,
            *EFFECTS,
        ),
        hidden,
    ),
)
