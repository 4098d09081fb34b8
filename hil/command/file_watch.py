"""`inlane check --watch`: checks a game again whenever one of its files was saved."""

import sys
import time
from collections.abc import Callable
from pathlib import Path

from hil import games

PAUSE_S = 0.4
UNWATCHED = ("__pycache__", "typings")
Stamps = dict[Path, tuple[int, int]]


def watch(name: str, check: Callable[[], object], wait: Callable[[float], None] = time.sleep) -> None:
    """Call `check` now and after each change, until Ctrl-C. Raises UsageError, GameError: no such game."""
    _, folder, package = games.locate(name)
    sys.dont_write_bytecode = True  # files saved within a second would be taken for those before
    before: Stamps | None = None
    try:
        while True:
            now = stamps(folder)
            if now != before:
                before = now
                games.forget(package)
                check()
            wait(PAUSE_S)
    except KeyboardInterrupt:
        print("stopped")


def stamps(folder: Path) -> Stamps:
    """When each file of a game was saved, and its size."""
    found: Stamps = {}
    for path in folder.rglob("*"):
        if path.is_file() and not any(part in UNWATCHED for part in path.parts):
            try:
                seen = path.stat()
            except OSError:
                continue  # removed while we looked
            found[path] = seen.st_mtime_ns, seen.st_size
    return found
