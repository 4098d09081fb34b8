"""The public methods of a class, with their arguments and the first sentence of each docstring."""

import inspect


def methods(cls: type) -> list[tuple[str, str]]:
    """Each public method that the firmware writes: its call, and what it does."""
    return [
        (f"{name}{arguments(cls, name)}", sentence(method))
        for name, method in inspect.getmembers(cls, inspect.isfunction)
        if not name.startswith("_") and method.__module__.startswith("firmware.")
    ]


def sentence(method: object) -> str:
    """What the docstring says before its first empty line, in one line."""
    return " ".join((inspect.getdoc(method) or "").partition("\n\n")[0].split())


def arguments(cls: type, name: str) -> str:
    """The arguments of a method as a call shows them: "(points=None)"."""
    signature = inspect.signature(getattr(cls, name)).parameters.values()
    words = [
        one.name if one.default is one.empty else f"{one.name}={one.default!r}"
        for one in signature
        if one.name != "self"
    ]
    return f"({', '.join(words)})"
