"""Pots, guarded holes, wheels, tunnels, locks: what is won at a device that takes the ball."""

import re
from dataclasses import dataclass
from typing import cast

from hil.authoring.kind import (
    COIL,
    DEED,
    EACH,
    LAMP,
    NUMBER,
    NUMBERS,
    POINTS,
    SECONDS,
    SHOT,
    TEXT,
    Field,
    Kind,
    Once,
    Rule,
    Scope,
    refuse_same,
)
from hil.authoring.kinds.fields import EFFECTS, FOR, LAMP_OF_ITS_OWN, LIT_BY, PAYS
from hil.authoring.kinds.timed import FLASHER
from hil.authoring.values import Each, Shot, points
from hil.authoring.words import as_name, count, joined, spoken, tuple_of

WHEEL_STOPS = (2, 12)


@dataclass(frozen=True)
class Stop:
    """A stop of a wheel: points, or an event that it raises, or nothing."""

    number: int
    points: int = 0
    attr: str = ""
    event: str = ""


def pot(rule: Rule, scope: Scope) -> None:
    """What a pot grows by, what wins it, what it is then worth."""
    values = rule.values
    grows = cast("list[Each]", values["grows"])
    reset, floor, cap = (cast(int, values[key]) for key in ("starts_at", "at_least", "at_most"))
    if not reset <= floor <= cap:
        raise ValueError(
            f"goes from {reset:,} (starts at) by {floor:,} (at least) to {cap:,} (at most); they rise"
        )
    won = cast("Shot | None", values["won_by"])
    by_rule = cast("Shot | None", values.get("win_by_rule"))
    winner = won or by_rule
    values["winner"] = winner
    events = [*([won.event] if won else []), *([f"{rule.name}.win"] if by_rule or not won else [])]
    values["win_events"] = " ".join(events)
    values["by_others"] = "" if winner else "  # meant: other rules may win it"
    values["grows_words"] = joined([f"{each.points:,} for {each.shot.code}" for each in grows])
    values["first"] = grows[0]
    grown = min(floor + grows[0].points, cap)
    mixed = {s for each in grows for s in each.shot.switches} & set(won.switches if won else ())
    values["exact"] = f" {grown:,}" if won and won.switches and not mixed else ""
    values["won_words"] = f"{winner.words} wins it" if winner else "another rule wins it"
    values["again"] = f" {min(floor + 2 * grows[0].points, cap):,}" if values["exact"] else ""


def guarded(rule: Rule, scope: Scope) -> None:
    """The target, the hole's switch, and the shot that meets both."""
    values = rule.values
    target, hole = cast(Shot, values["target"]), cast(Shot, values["hole"])
    if len(target.switches) != 1:
        raise ValueError(f"has {len(target.switches)} targets before its hole; it takes one")
    if not hole.switches:
        raise ValueError(f"has a hole without a switch of its own: '{hole.names[0]}'")
    values["target_switch"] = target.switches[0]
    values["hole_switch"] = hole.switches[0]
    both = scope.facts.latches.get(target.switches[0], "")
    values["shot"] = both or scope.shots.shot_of(target.switches[0])
    values["enter"] = both or scope.shots.shot_of(hole.names[0])
    values["flasher_too"] = f', flasher="{values["flasher"]}"' if values["flasher"] else ""
    seconds = int(cast(int, values["for"]))
    values["in_time"] = f"{max(seconds - 3, 0) or 0.2} s"
    values["offer"] = hole.offer


def wheel(rule: Rule, scope: Scope) -> None:
    """The stops of the wheel, what each pays or raises, and their odds."""
    values = rule.values
    for kind, name in (("coils", "wheel_motor"), ("switches", "wheel.index")):
        if name not in getattr(scope.facts, kind):
            raise ValueError(f"needs '{name}', which is not wired")
    if "wheel" in scope.facts.features:
        raise ValueError("is a second wheel; a game has one")
    stops = [_stop(n, text, scope) for n, text in enumerate(re.split(r",\s+", str(values["stops"])))]
    if not WHEEL_STOPS[0] <= len(stops) <= WHEEL_STOPS[1]:
        raise ValueError(f"has {len(stops)} stops; a wheel has {WHEEL_STOPS[0]} to {WHEEL_STOPS[1]}")
    values["count"] = len(stops)
    values["prizes"] = ", ".join(f"{stop.points:_}" for stop in stops)
    values["effects"] = [stop for stop in stops if stop.event]
    values["odds_rows"] = [
        _odds(values[key] or values["odds"], len(stops)) for key in ("roomy", "odds", "tight")
    ]
    roomy, even, tight = cast("list[str]", values["odds_rows"])
    same = roomy == even == tight
    values["odds_words"] = f" {even}" if same else f" (setting): roomy {roomy}, even {even}, tight {tight}"
    values["count_words"] = count(len(stops))
    values["lamps"] = [f"wheel.{n}" for n in range(1, len(stops) + 1)]
    values["classes"] = (f"{rule.cls}Wheel", rule.cls)
    least = [stop.points for stop in stops]
    values["least"] = min(least)
    values["lamp"] = None


def _stop(number: int, text: str, scope: Scope) -> Stop:
    if text == "nothing":
        return Stop(number)
    verb, _, name = text.partition(" ")
    if verb in ("light", "win"):
        event = f"{as_name(name)}.{verb}"
        if event not in scope.facts.heard:
            raise ValueError(f"has a stop '{text}', but no rule above it waits for '{event}'")
        return Stop(number, 0, f"_stop_{number + 1}", event)
    try:
        return Stop(number, points(text))
    except ValueError as error:
        raise ValueError(
            f"has a stop that {error}; a stop is points, 'light NAME', 'win NAME' or 'nothing'"
        ) from None


def _odds(given: object, count: int) -> str:
    odds = cast("tuple[int, ...]", given or (1,) * count)
    if len(odds) != count:
        raise ValueError(f"has {len(odds)} odds for {count} stops")
    return ", ".join(map(str, odds))


def tunnel(rule: Rule, scope: Scope) -> None:
    """Both ends of the tunnel."""
    values = rule.values
    mouth, end = cast(Shot, values["from"]), cast(Shot, values["to"])
    for shot in (mouth, end):
        if len(shot.switches) != 1:
            raise ValueError(f"has the end '{shot.names[0]}', which is not one switch")
    values["mouth"], values["end"] = mouth.switches[0], end.switches[0]
    values["overdue"] = int(cast(int, values["within"])) * 1000


def lock(rule: Rule, scope: Scope) -> None:
    """The hole that locks, its lamps, the shots of the multiball."""
    values = rule.values
    hole = cast(Shot, values["locks_in"])
    wanted = cast(int, values["holds"])
    if not hole.offer or len(hole.names) != 1:
        raise ValueError(
            f"locks balls in '{hole.names[0]}', which is no hole that the game ejects balls from"
        )
    if len(hole.switches) < wanted:
        raise ValueError(
            f"holds {wanted} balls in '{hole.names[0]}', which has room for {len(hole.switches)}"
        )
    name = hole.names[0]
    values["holds_words"] = count(wanted)
    values["plural"], values["are"], values["makes"] = (
        ("s", "are", "make") if wanted > 1 else ("", "is", "makes")
    )
    values["hole_name"] = name
    lit = values["lock_lamp"] = values["lock_lamp"] or f"{rule.name}_lock"
    stem = values["held_lamp"] = rule.name if lit == f"{rule.name}_lock" else lit
    held = [f"{stem}.{n}" for n in range(1, wanted + 1)]
    values["lamps"], values["lamp_names"] = [*held, lit], tuple_of(held)
    values["classes"] = (f"{rule.cls}Lock", rule.cls)
    values["lockings"] = list(range(1, wanted + 1))
    values["relights"] = wanted > 1
    if values["first_jackpot"] and not values["jackpot"]:
        raise ValueError("has a 'first jackpot', but no 'jackpot', which says the shot")
    refuse_same(rule, "lit_by", "locks_in")
    multiball(rule, scope)
    first = cast("Once | None", values["first_jackpot"])
    instead = f", the first one {first.verb}s the {spoken(first.name)} instead" if first else ""
    for key in ("jackpot_words", "jackpot_code"):
        values[key] = f"{str(values[key]).removesuffix('.')}{instead}{'.' * str(values[key]).endswith('.')}"
    values["finish"] = '("say_over", "finish")' if values["over_cue"] else '"finish"'
    values["plain_jackpot"] = bool(values["jackpot"] and not first)


def multiball(rule: Rule, scope: Scope) -> None:
    """The jackpots of a multiball."""
    values = rule.values
    refuse_same(rule, "started_by", "jackpot")
    jackpot = cast("Shot | None", values["jackpot"])
    values["jackpot_words"] = f"; {jackpot.words} pays {values['pays']:,}" if jackpot else ""
    values["jackpot_code"] = f" {jackpot.code} pays {values['pays']:,}." if jackpot else ""
    values["offer"] = jackpot.offer if jackpot else ""
    used = [
        s
        for key in ("jackpot", "lit_by", "started_by")
        if isinstance(values.get(key), Shot)
        for s in cast(Shot, values[key]).switches
    ]
    values["elsewhere"] = scope.shots.elsewhere(used)
    values["save_ms"] = f"{int(cast(int, values['save']))} s"
    after = cast(int, values.get("after") or 1)
    values["before"] = list(range(after - 1))
    values["counts"] = after > 1
    values["after_words"] = f"{count(after)} times " if after > 1 else ""


SAVE = Field("save", "For how long is every drain given back?", SECONDS, "10 s", True)
JACKPOT = Field("jackpot", "Which shot pays while it lasts? (empty: none)", SHOT, "")
JACKPOT_PAYS = Field("pays", "What does that pay?", POINTS, "50,000", True)

KINDS = (
    Kind(
        "pot",
        "a value that grows from game to game until it is won",
        (
            Field("starts at", "What is it worth when it was won?", POINTS, "100,000", True),
            Field("grows", "What adds how much? (1,000 for each bumper, 5,000 for each top)", EACH),
            Field("at least", "What is it worth at least when a game starts?", POINTS, "100,000", True),
            Field("at most", "How much can it grow to?", POINTS, "1,000,000", True),
            Field("won by", "Which shot wins it? (empty: another rule does)", SHOT, ""),
            LAMP_OF_ITS_OWN,
            *EFFECTS,
        ),
        pot,
        hears=("win",),
    ),
    Kind(
        "guarded hole",
        "a drop target that opens a hole for a time",
        (
            Field("target", "Which drop target stands before it?", SHOT),
            Field("hole", "Which hole does it open?", SHOT),
            Field("reset", "Which coil raises the target?", COIL),
            FOR,
            PAYS,
            LAMP_OF_ITS_OWN,
            FLASHER,
            *EFFECTS,
        ),
        guarded,
    ),
    Kind(
        "wheel",
        "a wheel whose stop is drawn by odds",
        (
            Field("turned by", "What turns it?", SHOT),
            Field("stops", "What does each stop pay? (5,000, nothing, 50,000, light extra_ball)", TEXT),
            Field("odds", "With which odds? (20, 12, 5, 1; empty: the same)", NUMBERS, ""),
            Field("roomy", "With which odds when set to roomy? (empty: the same)", NUMBERS, ""),
            Field("tight", "With which odds when set to tight? (empty: the same)", NUMBERS, ""),
            *EFFECTS,
        ),
        wheel,
    ),
    Kind(
        "tunnel",
        "a ball that enters at one place and returns at another",
        (
            Field("from", "At which switch does the ball enter?", SHOT),
            Field("to", "At which switch does it return?", SHOT),
            Field("within", "How long does it take at most?", SECONDS, "6 s", True),
            PAYS,
            *EFFECTS,
        ),
        tunnel,
    ),
    Kind(
        "multiball",
        "several balls at once, added by a shot",
        (
            Field("started by", "Which shot adds a ball?", SHOT),
            Field("after", "After how many of them in a ball?", NUMBER(1, 20), "3", True),
            SAVE,
            JACKPOT,
            JACKPOT_PAYS,
            LAMP_OF_ITS_OWN,
            *EFFECTS,
        ),
        multiball,
        saves=True,
    ),
    Kind(
        "lock and multiball",
        "balls that are held, then all of them in play",
        (
            LIT_BY,
            Field("locks in", "Which hole holds the balls?", SHOT),
            Field("holds", "How many does it hold?", NUMBER(1, 4), "2", True),
            Field("lock pays", "What does each locked ball pay?", POINTS, "10,000", True),
            Field("lock lamp", "Which lamp shows the lit lock? (NAME.1, NAME.2 show held balls)", LAMP, ""),
            Field("lock cue", "Which sound does a locked ball play? (empty: none)", LAMP, ""),
            SAVE,
            JACKPOT,
            Field("first jackpot", "What does the first one do instead? (win honey_jar)", DEED, ""),
            JACKPOT_PAYS,
            Field("over cue", "Which sound ends it? (empty: none)", LAMP, ""),
            LAMP_OF_ITS_OWN,
            *EFFECTS,
        ),
        lock,
        saves=True,
    ),
)
