"""What present shots say otherwise than the usual ones of their lines, as arguments of those lines."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from hil.host_tables import ShotRow
from hil.machine.from_tables.calls import Call
from hil.machine.from_tables.present import Present, last_word
from hil.machine.places import shot_name

TOUCHED = ("lanes", "targets", "drops", "spinner", "bumpers", "slings")
HELPED = (*TOUCHED, "hole", "ramp", "orbit", "tunnel")
NO_SHOTS = ("trough", "outhole", "flippers", "cabinet", "chimes", "displays")
NUMBERED = ("lanes", "targets", "drops", "bumpers")


class Touched(NamedTuple):
    """Reach, closed, back and side of a shot that touches and rests, as the fields of a Touch."""

    reach: object
    closed: object
    back: object
    to: str


Pair = tuple[ShotRow, ShotRow]
"""The usual shot of a line, and the one that is there."""


def adjust(call: Call, switches: Sequence[str], present: Present, made: Mapping[str, ShotRow]) -> None:
    """Give a line the touch, help, or absence of shots that the present tables have."""
    if call.what == "shooter":
        _plunge(call, present, made)
        return
    if call.what in NO_SHOTS:
        return
    names = [name for name in _names(call, switches) if name in made]
    if names and not any(name in present.shots for name in names):
        call.named["shot"] = False
        return
    if call.what == "hole" and any(made[name].steps != present.shots[name].steps for name in names):
        call.named["shot"] = False  # it is by hand, and the usual one has routes of its own
        return
    pairs = [(made[name], present.shots[name]) for name in names if name in present.shots]
    if call.what in TOUCHED and len(pairs) == len(names):
        _touch(call, pairs)
    if call.what in HELPED and len(pairs) == len(names) and all(_is_regular(*pair) for pair in pairs):
        _help(call, switches, pairs)


def _is_regular(usual: ShotRow, own: ShotRow) -> bool:
    """Whether a shot has the steps of its line, or steps that a Touch describes."""
    return usual.steps == own.steps or None not in (_read(usual), _read(own))


def _plunge(call: Call, present: Present, made: Mapping[str, ShotRow]) -> None:
    """The help of the plunge, when all else of it is as usual."""
    if "plunge" in present.shots and "plunge" in made and "over" in call.named:
        usual, own = made["plunge"], present.shots["plunge"]
        if usual.help != own.help and usual._replace(help=own.help) == own:
            call.named["help"] = own.help


def _names(call: Call, switches: Sequence[str]) -> list[str]:
    """The shots that are named after the line's switches or the line."""
    found = [shot_name(name) for name in switches]
    if call.given and isinstance(call.given[0], str):
        found.append(shot_name(call.given[0]))
    return list(dict.fromkeys(found))


def _touch(call: Call, pairs: Sequence[Pair]) -> None:
    touched = [(_read(usual), _read(own)) for usual, own in pairs]
    usual = [one for one, _own in touched if one]
    own = [one for _usual, one in touched if one]
    if not pairs or len(usual) != len(pairs) or len(own) != len(pairs):
        return
    given: dict[str, object] = {}
    for field, as_usual, found in zip(
        Touched._fields, zip(*usual, strict=True), zip(*own, strict=True), strict=True
    ):
        if found != as_usual:
            given[field] = found[0] if len(set(found)) == 1 else found
    if given:
        call.named["touch"] = Call("Touch", [], given)


def _read(shot: ShotRow) -> Touched | None:
    """What a shot says that touches and rests; None for any other."""
    match shot.steps:
        case (first, ("rest", back, str(place))) if place.startswith("flipper."):
            side = last_word(place)
        case _:
            return None
    match first:
        case (("hit" | "bounce" | "spin"), reach, _what, closed, *_):
            return Touched(reach, closed, back, side)
        case ("drop", reach, *_):
            return Touched(reach, 0, back, side)
    return None


def _help(call: Call, switches: Sequence[str], pairs: Sequence[Pair]) -> None:
    texts = [own.help for _usual, own in pairs]
    if texts == [usual.help for usual, _own in pairs] or not texts:
        return
    name = str(call.given[0]) if call.given else ""
    ends = [switch[len(name) :].lstrip(".") for switch in switches]
    if len(texts) == 1:
        call.named["help"] = texts[0]
        return
    templates = {text.replace(end, "{}") for text, end in zip(texts, ends, strict=False)}
    if len(templates) == 1 and len(texts) == len(ends) and call.what in NUMBERED:
        call.named["help"] = templates.pop()
