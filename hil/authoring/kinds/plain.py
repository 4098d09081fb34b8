"""Plain points, and a shot that pays when it is made."""

from typing import cast

from hil.authoring.kind import EACH, EVENTS, Field, Kind, Rule, Scope
from hil.authoring.values import Each
from hil.authoring.words import joined


def offers(rule: Rule, scope: Scope) -> None:
    """Which of the shots may have a lit award of another rule: they pay only while none waits."""
    pays = cast("list[Each]", rule.values["pays"])
    names = [each.name for each in pays]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"pays twice for '{name}'")
    rule.values["played"] = sorted(pays, key=lambda each: _when_played(each, scope))
    rule.values["unlit"] = any(each.shot.is_made for each in pays)
    lamps = [name for name in str(rule.values["with_lamps"] or "").split(", ") if name]
    rule.values["lamps"] = lamps
    rule.values["with_tuple"] = ", ".join(f'"{name}"' for name in lamps) + ("," if len(lamps) == 1 else "")
    rule.values["pays_words"] = joined([f"{each.shot.code} {each.points:,}" for each in pays])


def _when_played(each: Each, scope: Scope) -> tuple[bool, bool, bool]:
    """Its place in the script: what doubles comes last, and before what may light a shot that shot itself.

    Holes come first: they collect what orbits and ramps light.
    """
    doubles = bool(scope.doubling.intersection(each.shot.switches))
    return doubles, not each.shot.is_made, not each.shot.make.startswith("shoot ")


KINDS = (
    Kind(
        "points",
        "what shots are worth by themselves",
        (
            Field("pays", "What pays how much? (500 for each bumper, 1,000 for each target)", EACH),
            Field("with lamps", "Which lamps are lit while a ball is played? (empty: none)", EVENTS, ""),
        ),
        offers,
    ),
)
