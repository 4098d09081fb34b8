"""A roll of names: many texts in one."""


class Roll:
    """Names by number. As a text of its own each would take some 40 bytes, here its letters and one."""

    def __init__(self, names: "Sequence[str]") -> None:
        self._text = "\n".join(names) + "\n"
        self._count = len(names)

    def __len__(self) -> int:
        return self._count

    def __getitem__(self, at: int) -> str:
        """Name number `at`. Raises IndexError beyond the last."""
        if not 0 <= at < self._count:
            raise IndexError(at)
        begins = 0
        for _ in range(at):
            begins = self._text.find("\n", begins) + 1
        return self._text[begins : self._text.find("\n", begins)]

    def find(self, name: str) -> int:
        """The number of `name`, −1 when it is not there."""
        for at in range(self._count):
            if self[at] == name:
                return at
        return -1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
