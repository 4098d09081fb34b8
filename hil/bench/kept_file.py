"""The file that a machine's kept values are in during a run whose script switches its power."""

from pathlib import Path
from tempfile import TemporaryDirectory

from boards.unix.file_store import BEFORE, NEW

NAME = "kept"


class KeptFile:
    """A file store's files in a folder of their own, empty at first; `close` removes them."""

    def __init__(self) -> None:
        self._folder = TemporaryDirectory(prefix="inlane_kept_")
        self.path = Path(self._folder.name) / NAME
        self._before = self._read()
        self._seen = self._mark()

    def remember(self) -> None:
        """From here on `was_saved` says whether there was a save."""
        self._before = self._read()
        self._seen = self._mark()

    def was_saved(self) -> bool:
        """Whether the machine has saved since `remember`."""
        return self._mark() != self._seen

    def tear(self) -> None:
        """Leave what a loss of power in the middle of the save leaves: half of it, beside those before."""
        written = self.path.read_bytes()
        for suffix, content in self._before.items():
            self._file(suffix).unlink(missing_ok=True)
            if content is not None:
                self._file(suffix).write_bytes(content)
        self._file(NEW).write_bytes(written[: len(written) // 2])

    def close(self) -> None:
        """Remove the files."""
        self._folder.cleanup()

    def _file(self, suffix: str) -> Path:
        return self.path.with_name(NAME + suffix)

    def _read(self) -> dict[str, bytes | None]:
        files = {suffix: self._file(suffix) for suffix in ("", BEFORE)}
        return {suffix: file.read_bytes() if file.exists() else None for suffix, file in files.items()}

    def _mark(self) -> tuple[int, int]:
        if not self.path.exists():
            return 0, 0
        found = self.path.stat()
        return found.st_ino, found.st_mtime_ns
