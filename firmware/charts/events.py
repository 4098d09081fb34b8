"""The names of events, and the small numbers that stand for them."""

from firmware.base.errors import ChartError

EVERY = "*"


def hears(descriptor: str, name: str) -> bool:
    """Whether an event called `name` matches `descriptor`, token by token (Recommendation, 3.12.1)."""
    if descriptor.endswith(".*"):
        descriptor = descriptor[:-2]
    elif descriptor.endswith("."):
        descriptor = descriptor[:-1]
    return descriptor == EVERY or name == descriptor or name.startswith(descriptor + ".")


class Events:
    """Event names numbered in the order in which they were added; closed once charts are packed."""

    def __init__(self) -> None:
        self._names: list[str] | tuple[str, ...] = []
        self._ids: dict[str, int] = {}
        self.closed = False

    def __len__(self) -> int:
        return len(self._names)

    def add(self, name: str) -> int:
        """The number of the event `name`; the same name has the same number."""
        known = self._ids.get(name, -1)
        if known >= 0:
            return known
        names = self._names
        if self.closed or isinstance(names, tuple):
            raise ChartError(f"event '{name}' is new, but the charts that could hear it are packed already")
        if not name or name.startswith(EVERY) or " " in name:
            raise ChartError(f"event '{name}': a name has no spaces and does not begin with '*'")
        self._ids[name] = len(names)
        names.append(name)
        return len(names) - 1

    def seal(self, names: "tuple[str, ...]") -> None:
        """Take these names, by number, and no more: what a packer found on another machine."""
        self._names = names
        self._ids = {name: number for number, name in enumerate(names)}
        self.closed = True

    def find(self, name: str) -> int:
        """The number of the event `name`, -1 when nobody added it."""
        return self._ids.get(name, -1)

    def name(self, event: int) -> str:
        """The name behind a number."""
        return self._names[event]

    def names(self) -> "list[str]":
        """Every name, by number."""
        return list(self._names)
