"""What is known of the class of an object."""

from dataclasses import dataclass

from hil.bundle.modules import Symbol


@dataclass(frozen=True)
class Kind:
    """The classes an object can be of, and those of what it holds when it is a sequence."""

    classes: frozenset[Symbol] = frozenset()
    items: frozenset[Symbol] = frozenset()

    def __or__(self, other: "Kind") -> "Kind":
        return Kind(self.classes | other.classes, self.items | other.items)

    def held(self) -> "Kind":
        """One of the things in the sequence."""
        return Kind(self.items, self.items)
