"""Timed shots: a window, a built-up value, a hurry-up, a factor for a time."""

from typing import cast

from hil.authoring.kind import (
    COIL,
    EACH,
    EVENTS,
    MS,
    NUMBER,
    ONE_OF,
    POINTS,
    SECONDS,
    SHOT,
    Field,
    Kind,
    Rule,
    Scope,
    refuse_same,
)
from hil.authoring.kinds.fields import EFFECTS, FOR, LAMP_OF_ITS_OWN, LIT_BY, MADE_BY, PAYS
from hil.authoring.values import Each, Shot
from hil.authoring.words import count, joined

SMALL_POINTS = 10_000  # at most, that a shot pays by itself
SLACK = 2  # s by which a ball in a hole delays a window
AGAIN = Field(
    "again", "What does lighting it again do? (restarts, nothing)", ONE_OF("restarts", "nothing"), "restarts"
)
WITH_LAMPS = Field("with lamps", "Which other lamps are lit with it? (empty: none)", EVENTS, "")
FLASHER = Field("flasher", "Which flasher warns of its end? (empty: none)", COIL, "")


def times(rule: Rule, scope: Scope) -> None:
    """Seconds for scripts: well in time, just in time, and too late."""
    refuse_same(rule, "lit_by", "made_by")
    seconds = int(cast(int, rule.values["for"]))
    lit = cast(Shot, rule.values["lit_by"])
    rule.values["early"] = f"{max(seconds - 2, 0) or 0.2} s"
    rule.values["in_time"] = f"{seconds - 1 or 0.5} s"
    rule.values["late"] = f"{seconds + (SLACK if lit.dwells else 0)} s"
    again = rule.values["restarts"] = rule.values.get("again") == "restarts"
    rule.values["again_words"] = f"; again restarts the {seconds} s" if again else ""
    rule.values["or_again"] = ", or lit again: its time starts" if again else ""
    flasher = rule.values.get("flasher")
    rule.values["flasher_too"] = f', flasher="{flasher}"' if flasher else ""
    rule.values["worth"] = rule.values.get("pays")
    beside = [name for name in str(rule.values.get("with_lamps") or "").split(", ") if name]
    rule.values["lamps"] = beside
    rule.values["with_tuple"] = ", ".join(f'"{name}"' for name in beside) + ("," if len(beside) == 1 else "")
    made = cast("Shot | None", rule.values.get("made_by"))
    rule.values["shows_it"] = bool(beside or (made and made.offer))


def built(rule: Rule, scope: Scope) -> None:
    """What the scripts of a built-up value expect of its first steps."""
    times(rule, scope)
    grows = cast("list[Each]", rule.values["grows"])
    start, cap = cast(int, rule.values["starts_at"]), cast(int, rule.values["at_most"])
    if cap < start:
        raise ValueError(f"starts at {start:,}, which is above 'at most' {cap:,}")
    rule.values["first"] = grows[0]
    rule.values["worth"] = start
    rule.values["grown"] = min(start + grows[0].points, cap)
    rule.values["grows_words"] = joined([f"{each.points:,} for {each.shot.code}" for each in grows])
    full = (cap - start + grows[0].points - 1) // grows[0].points
    lit = cast(Shot, rule.values["lit_by"])
    rule.values["exact"] = not {s for each in grows for s in each.shot.switches} & set(lit.switches)
    rule.values["full"] = full if full <= 200 else 0


def falling(rule: Rule, scope: Scope) -> None:
    """What is left of a hurry-up half way, within what a script's taps take."""
    times(rule, scope)
    start, floor = cast(int, rule.values["from"]), cast(int, rule.values["to"])
    seconds = int(cast(int, rule.values["for"]))
    if floor >= start:
        raise ValueError(f"falls from {start:,} to {floor:,}; it has to fall")
    half, fall = seconds // 2, start - floor
    rule.values["half"] = f"{half or 0.5} s"
    left = start - fall * (half or 0.5) / seconds
    rule.values["at_least"] = int(max(left - fall * 1.5 / seconds, floor)) // 10 * 10
    dwell = SLACK if cast(Shot, rule.values["lit_by"]).dwells else 0
    most = int(left + fall * dwell / seconds) // 10 * 10 + SMALL_POINTS
    rule.values["no_more"] = most if most < start else 0


def factor(rule: Rule, scope: Scope) -> None:
    """An award of fixed points to show the factor with, where the game has one."""
    times(rule, scope)
    longer = cast("Shot | None", rule.values["longer_by"])
    starts = {*cast(Shot, rule.values["lit_by"]).switches, *(longer.switches if longer else ())}
    most, usual = cast(int, rule.values["at_most"]), cast(int, rule.values["for"])
    if most < usual:
        raise ValueError(f"lasts {usual} s, which is above 'at most' {most} s")
    factor_ = cast(int, rule.values["factor"])
    rule.values["factor_words"] = "twice" if factor_ == 2 else f"{count(factor_)} times"
    rule.values["shown"] = None
    for award, points in scope.facts.awards.items():
        switches = scope.facts.under(award.partition(".")[2])
        if any(name.endswith(".enter") for name in switches):  # a contact alone does not make it
            continue
        usable = [name for name in switches if not name.endswith(".enter") and name not in starts]
        playfield = [name for name in usable if name in scope.facts.playfield()]
        if playfield and points and award.startswith("points.") and not rule.values["shown"]:
            rule.values["shown"] = playfield[0]
            rule.values["shown_award"] = award
            rule.values["shown_points"] = points * cast(int, rule.values["factor"])
            rule.values["plain_points"] = points
    adds = cast(int, rule.values["adds"])
    rule.values["longer_words"] = f"; {longer.words} makes it last longer" if longer else ""
    rule.values["longer_code"] = f"; {longer.code} adds {adds:,} ms" if longer else ""


KINDS = (
    Kind(
        "window",
        "a timed shot",
        (LIT_BY, MADE_BY, FOR, PAYS, AGAIN, LAMP_OF_ITS_OWN, WITH_LAMPS, FLASHER, *EFFECTS),
        times,
        scripts=("timed",),
    ),
    Kind(
        "built value",
        "a value that play builds up, collected in time",
        (
            Field("starts at", "What is it worth at first?", POINTS, "10,000", marked=True),
            Field("grows", "What adds how much? (2,000 for each bumper)", EACH),
            Field("at most", "How much can it grow to?", POINTS, "100,000", marked=True),
            LIT_BY,
            MADE_BY,
            FOR,
            AGAIN,
            LAMP_OF_ITS_OWN,
            WITH_LAMPS,
            FLASHER,
            *EFFECTS,
        ),
        built,
        scripts=("timed",),
    ),
    Kind(
        "hurry-up",
        "a value that falls until it is collected",
        (
            LIT_BY,
            MADE_BY,
            Field("from", "What is it worth at first?", POINTS, "100,000", marked=True),
            Field("to", "What does it fall to?", POINTS, "20,000", marked=True),
            FOR,
            LAMP_OF_ITS_OWN,
            WITH_LAMPS,
            FLASHER,
            *EFFECTS,
        ),
        falling,
    ),
    Kind(
        "timed factor",
        "everything counts more for a time",
        (
            LIT_BY,
            Field("factor", "How many times does everything count? (2 to 5)", NUMBER(2, 5), "2"),
            FOR,
            Field("longer by", "What adds to its time? (empty: nothing)", SHOT, ""),
            Field("adds", "How much does that add? (0.5 s)", MS, "500 ms"),
            Field("at most", "How long can it last?", SECONDS, "40 s", marked=True),
            LAMP_OF_ITS_OWN,
            FLASHER,
            *EFFECTS,
        ),
        factor,
    ),
)
