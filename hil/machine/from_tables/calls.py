"""Lines of a machine file as they are built and then printed."""

from dataclasses import dataclass, field

from hil.machine.printing import WIDTH, literal


@dataclass(frozen=True)
class Constant:
    """A name that stands for a value above."""

    name: str


@dataclass
class Call:
    """A kind or a record with its values, in the order in which they are printed."""

    what: str
    given: list[object] = field(default_factory=list)
    named: dict[str, object] = field(default_factory=dict)

    def text(self) -> str:
        """The call as source in one line."""
        parts = [text(one) for one in self.given]
        parts += [f"{name}={text(value)}" for name, value in self.named.items()]
        return f"{self.what}({', '.join(parts)})"


def text(value: object) -> str:
    """A value as source."""
    if isinstance(value, Call):
        return value.text()
    if isinstance(value, Constant):
        return value.name
    return literal(value)


def printed(call: Call) -> list[str]:
    """A line of MACHINE with its comma, over several lines when it is too long."""
    line = f"    {call.text()},"
    if len(line) <= WIDTH:
        return [line]
    parts = [text(one) for one in call.given]
    parts += [f"{name}={text(value)}" for name, value in call.named.items()]
    return [f"    {call.what}(", *(f"        {part}," for part in parts), "    ),"]
