"""Lines of a machine file as they are built and then printed."""

from dataclasses import dataclass, field

from hil.machine.printing import WIDTH, literal, row


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
    parts = [part for one in call.given for part in _part("", one)]
    parts += [part for name, value in call.named.items() for part in _part(f"{name}=", value)]
    return [f"    {call.what}(", *parts, "    ),"]


def _part(before: str, value: object) -> list[str]:
    """One value of a call in lines of its own, a tuple that is too long broken at its tuples."""
    line = f"        {before}{text(value)},"
    if len(line) <= WIDTH or not isinstance(value, tuple):
        return [line]
    return [f"        {before}(", *(part for one in value for part in row(one, 3)), "        ),"]
