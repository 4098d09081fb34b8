"""What present shots say otherwise than the usual ones of their lines, as arguments of those lines."""

from collections.abc import Mapping, Sequence

from hil.machine.from_tables.calls import Call
from hil.machine.from_tables.present import Present, Row
from hil.machine.places import shot_name

TOUCHED = ("lanes", "targets", "drops", "spinner", "bumpers", "slings")
HELPED = (*TOUCHED, "hole", "ramp", "orbit", "tunnel")
NO_SHOTS = ("trough", "outhole", "flippers", "cabinet", "chimes", "displays")
NUMBERED = ("lanes", "targets", "drops", "bumpers")
FIELDS = ("reach", "closed", "back", "to")

Touched = tuple[object, object, object, object]


def adjust(call: Call, switches: Sequence[str], present: Present, made: Mapping[str, Row]) -> None:
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
    if call.what == "hole" and any(made[name][4] != present.shots[name][4] for name in names):
        call.named["shot"] = False  # it is by hand, and the usual one has routes of its own
        return
    pairs = [(made[name], present.shots[name]) for name in names if name in present.shots]
    if call.what in TOUCHED and len(pairs) == len(names):
        _touch(call, pairs)
    if call.what in HELPED and len(pairs) == len(names) and all(_is_regular(*pair) for pair in pairs):
        _help(call, switches, pairs)


def _is_regular(usual: Row, own: Row) -> bool:
    """Whether a shot has the steps of its line, or steps that a Touch describes."""
    return usual[4] == own[4] or None not in (_read(usual), _read(own))


def _plunge(call: Call, present: Present, made: Mapping[str, Row]) -> None:
    """The help of the plunge, when all else of it is as usual."""
    if "plunge" in present.shots and "plunge" in made and "over" in call.named:
        usual, own = made["plunge"], present.shots["plunge"]
        if usual[3] != own[3] and (usual[:3], usual[4]) == (own[:3], own[4]):
            call.named["help"] = own[3]


def _names(call: Call, switches: Sequence[str]) -> list[str]:
    """The shots that are named after the line's switches or the line."""
    found = [shot_name(name) for name in switches]
    if call.given and isinstance(call.given[0], str):
        found.append(shot_name(call.given[0]))
    return list(dict.fromkeys(found))


def _touch(call: Call, pairs: Sequence[tuple[Row, Row]]) -> None:
    both = [(_read(usual), _read(own)) for usual, own in pairs]
    if any(usual is None or own is None for usual, own in both):
        return
    given: dict[str, object] = {}
    for at, field in enumerate(FIELDS):
        usual = [one[at] for one, _own in both if one]
        own = [one[at] for _usual, one in both if one]
        if own != usual:
            given[field] = own[0] if len(set(own)) == 1 else tuple(own)
    if given:
        call.named["touch"] = Call("Touch", [], given)


def _read(shot: Row) -> Touched | None:
    """Reach, closed, back and side of a shot that touches and rests; None for any other."""
    steps = shot[4]
    assert isinstance(steps, tuple)
    if len(steps) != 2 or steps[1][0] != "rest":
        return None
    verb, *values = steps[0]
    closed = {"hit": 2, "bounce": 2, "spin": 2, "drop": -1}
    if verb not in closed or not str(steps[1][2]).startswith("flipper."):
        return None
    side = str(steps[1][2]).rpartition(".")[2]
    return values[0], 0 if verb == "drop" else values[closed[verb]], steps[1][1], side


def _help(call: Call, switches: Sequence[str], pairs: Sequence[tuple[Row, Row]]) -> None:
    texts = [str(own[3]) for _usual, own in pairs]
    if texts == [str(usual[3]) for usual, _own in pairs] or not texts:
        return
    name = str(call.given[0]) if call.given else ""
    ends = [switch[len(name) :].lstrip(".") for switch in switches]
    if len(texts) == 1:
        call.named["help"] = texts[0]
        return
    templates = {text.replace(end, "{}") for text, end in zip(texts, ends, strict=False)}
    if (
        len(templates) == 1
        and len(texts) == len(ends)
        and call.what in ("lanes", "targets", "drops", "bumpers")
    ):
        call.named["help"] = templates.pop()
