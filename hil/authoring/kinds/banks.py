"""Groups of lights: a row of lanes, a bank of targets."""

from typing import cast

from hil.authoring.kind import (
    COIL,
    LAMP,
    NUMBER,
    ONCE,
    ONE_OF,
    POINTS,
    ROW,
    SEVERAL,
    SHOT,
    TEXT,
    Field,
    Kind,
    Once,
    Rule,
    Scope,
)
from hil.authoring.kinds.fields import EFFECTS, PAYS
from hil.authoring.signal import Signal
from hil.authoring.values import Shot
from hil.authoring.words import count, joined, ordinal_of, spoken

BONUS_LASTS = ONE_OF("game", "ball", "setting")
LASTS = Field(
    "lasts", "How long do its lights last? (ball, player)", ONE_OF("ball", "player"), "ball", marked=True
)


def row(rule: Rule, scope: Scope, key: str) -> None:
    """The event, lamps and words of a row of switches."""
    switches = cast("tuple[str, ...]", rule.values[key])
    stem = switches[0].rpartition(".")[0]
    whole = bool(stem) and scope.facts.under(stem) == list(switches)
    rule.values["switches"] = switches
    rule.values["lamps"] = list(switches)
    rule.values["event"] = stem if whole else " ".join(switches)
    rule.values["tuple"] = ", ".join(f'"{name}"' for name in switches)
    noun = "lane" if key == "lanes" else "target"
    said = spoken(stem) if spoken(stem).endswith(noun) else f"{spoken(stem)} {noun}"
    rule.values["all_words"] = (
        f"all {count(len(switches))} {said}s"
        if whole
        else joined([f"the {spoken(name)}" for name in switches])
    )
    rule.values["all_code"] = f"`{switches[0]}` to `{switches[-1]}`"
    rule.values["rest"] = ", ".join(switches[:-1])
    rule.values["span"] = "PLAYER" if rule.values["lasts"] == "player" else "BALL"
    rule.values["lasting"] = rule.values["lasts"] == "player"
    rule.values["lasts_words"] = "player's game" if rule.values["lasting"] else "ball"
    rule.values["stem"] = stem
    rule.values["last"] = switches[-1]


def lanes(rule: Rule, scope: Scope) -> None:
    """A row of lanes, and the inserts of its multiplier."""
    row(rule, scope, "lanes")
    top = cast("int | None", rule.values["bonus_to"])
    if rule.values["at_top"] and not top:
        raise ValueError("has 'at top' without 'bonus to', whose top that is")
    _bonus(rule)
    moves = rule.values["moves"] = rule.values["moved_by"] == "flippers"
    aimed = next((name for name, states in scope.facts.states.items() if "aiming" in states), "")
    rule.values["aimed"] = aimed if moves else ""
    rule.values["unless_aiming"] = ', "not aiming"' if rule.values["aimed"] else ""
    rule.values["moves_words"] = "; the flipper buttons move the lights" if moves else ""
    rule.values["bonus_words"] = f" and raise the bonus multiplier, to {top} at most" if top else ""
    at_top, first = rule.values["at_top"], rule.values["first_at_top"]
    first_told = f", the first time {first:,}" if first else ""
    told = f" (at its top {at_top:,} instead{first_told})" if at_top else ""
    code = f", the bonus multiplier one more, {top} at most" if top else ""
    rule.values["bonus_code"] = code + told
    rule.values["done_value"] = "self.multiplier.times()" if top else ""
    if top:
        lamps = cast("list[str]", rule.values["lamps"])
        lamps += [f"times.{n}" for n in range(2, top + 1)]


def _bonus(rule: Rule) -> None:
    """What the lanes do to the bonus multiplier: its top, how long it lasts."""
    values = rule.values
    top, first, at_top = (cast("int | None", values[key]) for key in ("bonus_to", "first_at_top", "at_top"))
    if first and not at_top:
        raise ValueError("has 'first at top' without 'at top'")
    lasts = values["bonus_lasts"] if top else "game"
    values["each_ball"], values["each_setting"] = lasts == "ball", lasts == "setting"
    values["resets"] = lasts != "game"
    values["where_set"] = ", where the operator wants that" if lasts == "setting" else ""
    values["only_grows"] = bool(top and not at_top)
    values["at_only"] = bool(at_top and not first)
    values["first_and_cue"] = bool(first and values["top_cue"])
    values["cue_only"] = bool(at_top and values["top_cue"] and not first)
    values["top_award"] = "first_at_top" if first else "at_top"
    switches = cast("tuple[str, ...]", values["switches"])
    values["all"] = ", ".join(switches)
    values["to_top"] = (top or 1) - 1


def bank(rule: Rule, scope: Scope) -> None:
    """A bank of targets: what each completion pays, what raises its targets."""
    row(rule, scope, "targets")
    pays = cast("tuple[int, ...]", rule.values["pays"])
    rule.values["first"] = pays[0]
    rule.values["second"] = pays[min(1, len(pays) - 1)]
    rule.values["pays_tuple"] = ", ".join(f"{each:_}" for each in pays) + ("," if len(pays) == 1 else "")
    rule.values["pays_words"] = joined([f"{each:,}" for each in pays], "then")
    reset = f"{rule.values['stem']}_reset"
    if not rule.values["reset"] and reset in scope.facts.coils:
        rule.values["reset"] = reset
    rule.values["done_value"] = "self._bank.completions()"
    spot = cast("Shot | None", rule.values["spotted_by"])
    rule.values["spot_words"] = f"; {spot.words} lights one" if spot else ""
    _turns(rule, pays)
    rule.values["spot_code"] = f"; {spot.code} lights the first dark one" if spot else ""


def _turns(rule: Rule, pays: "tuple[int, ...]") -> None:
    """What a bank does by turns, and what it does once."""
    values = rule.values
    turns = cast("list[Signal]", values["turn_signals"])
    once = cast("Once | None", values["at"])
    if turns and len(pays) > 1:
        values["pays_words"] = f"{joined([f'{each:,}' for each in pays])} by turns"
    values["turn_calls"] = ", ".join(f"self.{each.attr}" for each in turns) + "," * (len(turns) == 1)
    values["turn_count"] = len(turns)
    values["by_turns_too"] = ", by_turns=True" if turns else ""
    lit = joined([f"the {spoken(each.target)}" for each in turns])
    values["turn_words"] = f"; by turns they light {lit}" if turns else ""
    ordinal = f"the {ordinal_of(once.count)}" if once else ""
    values["once_words"] = f"; {ordinal} completion {once.verb}s the {spoken(once.name)}" if once else ""
    values["at_words"] = ordinal_of(once.count) if once else ""
    values["before"] = list(range(once.count - 1)) if once else []
    values["third"] = pays[2 % len(pays)] if turns else pays[min(2, len(pays) - 1)]


KINDS = (
    Kind(
        "lanes",
        "a row of lanes that are lit one by one",
        (
            Field("lanes", "Which lanes? (top, or top.1, top.2)", ROW),
            PAYS,
            Field(
                "moved by",
                "What moves the lights? (flippers, nothing)",
                ONE_OF("flippers", "nothing"),
                "flippers",
            ),
            Field(
                "bonus to",
                "Up to how many times does it raise the bonus? (empty: it does not)",
                NUMBER(2, 10),
                "",
            ),
            Field("at top", "What do they pay with it at its top? (empty: the same)", POINTS, ""),
            Field("first at top", "And the first time in a player's game? (empty: the same)", POINTS, ""),
            Field("top cue", "Which sound does that play? (empty: none)", LAMP, ""),
            Field(
                "bonus lasts", "How long does the multiplier last? (game, ball, setting)", BONUS_LASTS, "game"
            ),
            LASTS,
            *EFFECTS,
        ),
        lanes,
    ),
    Kind(
        "bank",
        "targets that are lit in any order",
        (
            Field("targets", "Which targets? (bank, or bank.1, bank.2)", ROW),
            Field(
                "pays",
                "What does each completion pay? (15,000, 30,000: the last stays)",
                SEVERAL,
                "10,000",
                True,
            ),
            Field("spotted by", "Which shot lights one besides? (empty: none)", SHOT, ""),
            Field("by turns", "Which rules does it light by turns? (seal, lock; empty: none)", TEXT, ""),
            Field("at", "What does one completion do besides? (3 light extra_ball)", ONCE, ""),
            Field("reset", "Which coil raises its targets? (empty: none, they do not drop)", COIL, ""),
            LASTS,
            *EFFECTS,
        ),
        bank,
    ),
)
