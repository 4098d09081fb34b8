"""Changes to a game's files that are kept back until all of them are known to be right."""

from collections.abc import Iterator
from pathlib import Path

from hil.authoring.errors import DescriptionError


class Draft:
    """The files of a game as they will be. Nothing is written before `save`."""

    def __init__(self, folder: Path, package: str) -> None:
        self.folder = folder
        self.package = package
        self.added: list[str] = []
        self._texts: dict[str, str] = {}

    def has(self, name: str) -> bool:
        """Whether there is such a file, written or not yet."""
        return name in self._texts or (self.folder / name).is_file()

    def read(self, name: str) -> str:
        """The text of a file. Raises DescriptionError when there is none."""
        if name in self._texts:
            return self._texts[name]
        path = self.folder / name
        if not path.is_file():
            raise DescriptionError(f"the game has no {name}", str(self.folder))
        return path.read_text(encoding="utf-8")

    def add(self, name: str, text: str) -> None:
        """A new file. Raises DescriptionError when there is one of that name."""
        if self.has(name):
            raise DescriptionError(f"{name} is there already; nothing was changed", str(self.folder))
        self.added.append(name)
        self._texts[name] = text

    def put(self, name: str, text: str) -> None:
        """A file that may be there or not."""
        if self.has(name):
            self.change(name, text)
        else:
            self.add(name, text)

    def change(self, name: str, text: str) -> None:
        """Another text for a file that is there."""
        self._texts[name] = text

    def glob(self, pattern: str) -> Iterator[str]:
        """The names of all files that match, such as `features/*.py`, in order."""
        on_disk = {path.relative_to(self.folder).as_posix() for path in self.folder.glob(pattern)}
        yield from sorted(on_disk | {name for name in self._texts if Path(name).match(pattern)})

    def texts(self) -> dict[str, str]:
        """Every file that is new or changed."""
        return dict(self._texts)

    def save(self) -> list[str]:
        """Write everything; the names of the files that are new."""
        for name, text in self._texts.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return self.added
