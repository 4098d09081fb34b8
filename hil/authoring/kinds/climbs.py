"""Shots one after another: a ladder, a sequence, a combination, a hidden step."""

from typing import cast

from hil.authoring.kind import (
    LAMP,
    NUMBERS,
    ONE_OF,
    POINTS,
    POINTS_OR_NONE,
    SECONDS,
    SEVERAL,
    SHOT,
    SHOTS,
    TWO_SECONDS,
    Field,
    Kind,
    Rule,
    Scope,
    refuse_same,
)
from hil.authoring.kinds.fields import EFFECTS, FOR, LAMP_OF_ITS_OWN, LIT_BY, MADE_BY, SHOWS
from hil.authoring.kinds.timed import FLASHER, SLACK
from hil.authoring.values import Shot
from hil.authoring.words import count, joined, spoken, tuple_of

MOST_SHOTS = 16
AGAIN = ONE_OF("restarts", "nothing")


def ladder(rule: Rule, scope: Scope) -> None:
    """Rungs, their lamps, their windows."""
    values = rule.values
    pays = cast("tuple[int, ...]", values["pays"])
    if len(pays) < 2:
        raise ValueError("has one rung; a ladder takes two or more, such as 'pays 10,000, 20,000'")
    refuse_same(rule, "lit_by", "made_by")
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
    lamps = [f"{values['rung_lamps']}.{n}" for n in range(1, len(pays) + 1)]
    values["lamps"], values["lamp_names"] = lamps, tuple_of(lamps)
    values["last_words"] = f", the last {last} s" if last and last != usual else ""
    values["hard_words"] = f"; once topped {hard[0]} s and {hard[1]} s" if hard else ""
    late = (last or usual) if len(pays) == 2 else usual
    values["late"] = f"{late} s"
    dwells = any(cast(Shot, values[key]).dwells for key in ("lit_by", "made_by"))
    values["late_pause"] = f"{late + SLACK * dwells} s"
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
    """The steps of a sequence: each distinct shot with its method, what each pays, times for scripts."""
    values = rule.values
    shots = cast("list[Shot]", values["shots"])
    if len(shots) < 2:
        raise ValueError("has one shot; a sequence takes two or more, such as 'shots orbit.left, ramp'")
    found = distinct(shots)
    lit = cast("Shot | None", values["lit_by"])
    values["steps_tuple"] = ", ".join(f'"{shot.event}"' for shot in shots)
    values["distinct"] = found
    values["first"], values["last"] = shots[0], shots[-1]
    values["but_last"], values["after_first"] = shots[:-1], shots[1:]
    values["order_words"] = joined([shot.words for shot in shots], "then")
    values["order_code"] = joined([shot.code for shot in shots], "then")
    values["freeze"] = scope.shots.freeze(shots)
    values["wrong"] = shots[1].event != shots[0].event
    values["offers"] = all(shot.offer for shot in shots)
    values["ready_shots"], values["free_shots"] = (found, []) if lit else ([], found)
    values["home"], values["over"] = ("ready", '"dark"') if lit else ("open", None)
    values["ready_now"] = "ready" if lit else "self.play.live"
    values["lit_words"] = f"lit by {lit.words}: " if lit else ""
    values["lit_code"] = f", lit by {lit.code}" if lit else ""
    values["flasher_too"] = flasher_too(rule)
    values["shows_something"] = bool(lit or values["step_lamps"] or values["offers"])
    if values["step_lamps"]:
        lamps = [f"{values['step_lamps']}.{n}" for n in range(1, len(shots) + 1)]
        values["lamps"], values["lamp_names"] = lamps, tuple_of(lamps)
    again = values["restarts"] = values["again"] == "restarts" and values["wrong"]
    values["again_words"] = "; a shot made again restarts its time" if again else ""
    _step_times(rule, shots[0].dwells or bool(lit and lit.dwells))
    repeats = len({shot.event for shot in shots}) < len(shots) and any(shot.offer for shot in shots)
    values["pause"] = repeats and int(cast(int, values["for"])) > 2
    _step_pays(rule, len(shots))


def _step_times(rule: Rule, dwells: bool) -> None:
    """Seconds for scripts; `dwells`: a ball is held on the way, which freezes the time."""
    seconds = int(cast(int, rule.values["for"]))
    rule.values["late"] = f"{seconds + SLACK * dwells} s"
    rule.values["in_time"] = f"{max(seconds - 2, 0) or 0.2} s"
    rule.values["early"] = f"{max(seconds - 3, 0) or 0.1} s"


def _step_pays(rule: Rule, steps: int) -> None:
    """One value for the last step, one each, or one for each but the last."""
    values = rule.values
    pays = cast("tuple[int, ...]", values["pays"])
    if len(pays) not in (1, steps - 1, steps):
        raise ValueError(
            f"pays {len(pays)} values for {steps} shots; give one, one each, or one for each but the last"
        )
    last = pays[-1] if len(pays) in (1, steps) else 0
    each = pays[: steps - 1] if len(pays) > 1 else ()
    values["last_pays"] = last
    values["step_pays"] = ", ".join(f"{points:_}" for points in each) + ("," if len(each) == 1 else "")
    pay = 'self.news(b"' + rule.display + '", self._step_awards[self._steps.step() - 1].pay())'
    values["step_then"] = f"            {pay}" if each else "            pass"
    values["step_else"] = f"            else:\n                {pay}" if each else ""
    said = joined([f"{points:,}" for points in pays], "then")
    values["pay_words"] = f", pay {said}"
    values["pay_code"] = f": {said}"
    name = rule.name
    values["proof"] = f"award {name}.made paid {last:,}" if last else f"event {name}.done posted"
    values["disproof"] = f"award {name}.made not paid" if last else f"event {name}.done not posted"


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
    near = values["near_lamp"]
    values["first"], values["last_step"] = numbers[0], numbers[-1]
    values["weights"] = ", ".join(map(str, weights))
    values["odds_words"] = " : ".join(map(str, weights))
    values["lamps"] = [*lamps, *([str(near)] if near else [])]
    values["inserts"] = ", ".join(f'"{name}"' for name in lamps)
    values["steps_words"] = joined([str(n) for n in numbers], "or")
    values["times"] = list(range(numbers[-1]))
    pays, wins = cast("int | None", values["pays"]), values["wins"]
    values["prize"] = f"{pays:,}" if pays else f"the {spoken(str(wins))}" if wins else "something"


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
            Field("pays", "What does it pay? (one for all, or one a shot)", SEVERAL, "10,000", True),
            Field("again", "Does a shot made again restart its time? (restarts, nothing)", AGAIN, "nothing"),
            Field("step lamps", "What are the steps' lamps called? (dance: dance.1; empty: none)", LAMP, ""),
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
            Field("near lamp", "Which lamp shows that the next step is it? (empty: none)", LAMP, ""),
            Field(
                "pays",
                "What does it pay? (nothing, when it wins or lights something)",
                POINTS_OR_NONE,
                "10,000",
                True,
            ),
            *EFFECTS,
        ),
        hidden,
    ),
)
