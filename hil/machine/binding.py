"""Binds the written arguments of a kind or a record to its parameters; what does not fit is a complaint."""

import inspect
from collections.abc import Callable
from typing import get_type_hints

from hil.machine.checked import Takes, takes
from hil.machine.complaints import Complaints, advice

MISSING = object()  # the value of what was complained about already

Made = Callable[..., object]


def parameters(maker: Made) -> dict[str, inspect.Parameter]:
    """The parameters that a machine file may give; what the expansion gives itself is left out."""
    found = inspect.signature(maker).parameters
    return {name: one for name, one in found.items() if name != "made"}


def bind(
    what: str,
    maker: Made,
    given: list[object],
    named: dict[str, object],
    complaints: Complaints,
    line: int,
) -> dict[str, object] | None:
    """The arguments by name, None when a complaint was made. `what` is the maker's name in the file."""
    known = parameters(maker)
    before = len(complaints.found)
    places = [name for name, one in known.items() if one.kind is not inspect.Parameter.KEYWORD_ONLY]
    if len(given) > len(places):
        text = f"{what} takes {len(places)} values without a name ({', '.join(places)}), not {len(given)}"
        complaints.add(line, text)
    arguments = dict(zip(places, given, strict=False))
    for name, value in named.items():
        if name not in known:
            complaints.add(line, f"{what} has no '{name}'{advice(name, known)}")
        elif name in arguments:
            complaints.add(line, f"{what} is given '{name}' twice")
        else:
            arguments[name] = value
    for name, one in known.items():
        if name not in arguments and one.default is inspect.Parameter.empty:
            complaints.add(line, f"{what} needs '{name}', {_words(maker, name)}")
    _check(what, maker, arguments, complaints, line)
    unknown = any(value is MISSING for value in arguments.values())
    return None if unknown or len(complaints.found) > before else arguments


def _check(what: str, maker: Made, arguments: dict[str, object], complaints: Complaints, line: int) -> None:
    for name, value in arguments.items():
        allowed = _allowed(maker, name)
        if value is MISSING or any(one.test(value) for one in allowed):
            continue
        if value is None and parameters(maker)[name].default is None:
            continue
        choices = [choice for one in allowed for choice in one.choices]
        near = advice(value, choices) if choices and isinstance(value, str) else ""
        words = "" if near.startswith("; there are") else near
        complaints.add(line, f"{what} has the {name} {value!r}; it takes {_words(maker, name)}{words}")


def _allowed(maker: Made, name: str) -> list[Takes]:
    return takes(get_type_hints(maker, include_extras=True)[name])


def _words(maker: Made, name: str) -> str:
    return ", or ".join(one.words for one in _allowed(maker, name))
