"""The kinds of rules and their fields, as the page of the grammar lists them."""

from hil.authoring.kind import Field, Kind
from hil.authoring.kinds import KINDS


def listing() -> str:
    """A line a kind: what it is, the fields that it needs, and the others with their defaults."""
    return "\n".join(_line(kind) for kind in KINDS)


def _line(kind: Kind) -> str:
    needed = [f"`{field.key}`" for field in kind.fields if field.usual is None]
    others = [_other(field) for field in kind.fields if field.usual is not None]
    told = ", ".join(needed) or "nothing"
    return f"- **{kind.name}**: {kind.about}. Needs {told}. May have {', '.join(others)}."


def _other(field: Field) -> str:
    if not field.usual or field.usual == "{name}":
        return f"`{field.key}`"
    return f"`{field.key}` ({field.usual})"
