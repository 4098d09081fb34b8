"""A lamp show: what starts it, over which lamps, how long."""

from typing import cast

from firmware.parts.show import CALM, LEAST
from hil.authoring.errors import near_miss
from hil.authoring.kind import COIL, LAMPS, MS, SECONDS, SHOT, Field, Kind, Rule, Scope
from hil.authoring.kinds.fields import CARD
from hil.authoring.values import Seconds, Shot

SLACK_MS = 2000  # from the shot until a script looks, at most


def steps(rule: Rule, scope: Scope) -> None:
    """One lamp after the other, then all; one lamp alone is lit and dark by turns."""
    values = rule.values
    lamps, ms = cast("list[str]", values["lamps"]), cast(int, values["step"])
    flasher = values["flasher"] or ""
    for name in lamps:  # those of the rules above are known by now
        if name not in scope.facts.lamps:
            raise ValueError(f"names '{name}', which is no lamp{near_miss(name, list(scope.facts.lamps))}")
    if ms < LEAST:
        raise ValueError(f"has steps of {ms} ms; {LEAST} ms are the least")
    lit = [lamps[0], ""] if len(lamps) == 1 else [*lamps, " ".join(lamps)]
    values["rows"] = [
        f'({ms}, "{names}", "{flasher if at == len(lit) else ""}"),' for at, names in enumerate(lit, 1)
    ]
    lasts = cast(Seconds, values["for"])
    nominal, slowest = ms * len(lit), max(ms, CALM) * len(lit)
    if lasts * 1000 < slowest + SLACK_MS:
        needed = -(-(slowest + SLACK_MS) // 1000)
        raise ValueError(
            f"is over in {lasts.words}; one round of its {len(lit)} steps to be seen needs {needed}"
        )
    values["rounds"] = -(-lasts * 1000 // nominal)
    values["round_s"] = f"{-(-slowest // 1000)} s"
    values["over_s"] = f"{-(-cast(int, values['rounds']) * slowest // 1000) + 1} s"
    values["made"] = cast(Shot, values["started_by"])
    values["lamp_code"] = ", ".join(f"`{name}`" for name in lamps)
    values["flash_words"] = f", with the flasher `{flasher}`" if flasher else ""


KINDS = (
    Kind(
        "show",
        "lamps that are lit one after another",
        (
            Field("started by", "What starts it? (a shot, a switch, another rule)", SHOT),
            Field("lamps", "Over which lamps of the game, in which order?", LAMPS),
            Field("step", "How long is each step?", MS, "300 ms"),
            Field("for", "How long does it go on?", SECONDS, "6 s", marked=True),
            Field("flasher", "Which flasher is pulsed in the last step? (empty: none)", COIL, ""),
            CARD,
        ),
        steps,
    ),
)
