"""`inlane replay --bisect OLD NEW`: the changes of a game that make a script end in another way."""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from rich.console import Console

from firmware.base.errors import GameError, UsageError
from hil.bench.changes import LEFT_OUT, Hunk, apply, changes
from hil.bench.outcome import FAIL, PASS, VERDICTS
from hil.bench.shrink import shrunk
from hil.command.judging import Judge, Verdict
from hil.games import BUILT_IN

Told = Callable[[str], None]


class Bisection:
    """A script, and the folder of a game before and after. Raises UsageError, GameError: not comparable.

    Each trial is a copy of the old folder with some of the changes, in a process of its own.
    """

    def __init__(self, script: Path, old: Path, new: Path) -> None:
        for folder in (old, new):
            _check(folder)
        if old.resolve().name != new.resolve().name:
            raise UsageError("the folders of --bisect need the same name, which imports use", f"{old}, {new}")
        self._text = script.read_text(encoding="utf-8")
        self._name = script.name
        self._old, self._package = old, new.resolve().name
        self.hunks = changes(old, new)
        if not self.hunks:
            raise UsageError("no Python file differs between the two folders", f"{old}, {new}")
        self.trials = 0
        self.before, self.after = self._run([]), self._run(self.hunks)

    @property
    def differs(self) -> str:
        """What differs between old and new: "result", "trace" or ""."""
        if _result(self.before) != _result(self.after):
            return "result"
        return "trace" if self.before["digest"] != self.after["digest"] else ""

    def run(self, tell: Told) -> list[Hunk]:
        """The hunks without any of which the script ends as before: first by files, then by hunks."""
        look = _result if self.differs == "result" else _digest
        wanted = look(self.after)

        def holds(hunks: list[Hunk]) -> bool:
            tell(f"{len(hunks)} changes")
            return look(self._run(hunks)) == wanted

        def inside(files: list[str]) -> list[Hunk]:
            return [hunk for hunk in self.hunks if hunk.file in files]

        files = list(dict.fromkeys(hunk.file for hunk in self.hunks))
        kept = shrunk(files, lambda some: holds(inside(some))) if len(files) > 1 else files
        return shrunk(inside(kept), holds)

    def _run(self, hunks: list[Hunk]) -> Verdict:
        self.trials += 1
        with tempfile.TemporaryDirectory(prefix="inlane-bisect-") as name:
            top = Path(name).resolve()
            folder = top / self._package
            shutil.copytree(self._old, folder, ignore=shutil.ignore_patterns(*LEFT_OUT))
            apply(hunks, folder)
            judge = Judge(top, str(folder))
            try:
                found = judge.answer(self._name, self._text)
                found["expected"] = found["expected"].replace(f"{top}/", "")
                return found
            finally:
                judge.close()


def _check(folder: Path) -> None:
    if not (folder / "game.py").is_file():
        raise GameError("a game folder needs a game.py", str(folder))
    if folder.resolve().parent == BUILT_IN:
        raise UsageError("--bisect compares folders of a game of your own, not a built-in one", str(folder))


def _result(verdict: Verdict) -> object:
    return verdict["code"], verdict["expected"]


def _digest(verdict: Verdict) -> object:
    return verdict["digest"]


def lines(found: list[Hunk], bisection: Bisection) -> Iterator[str]:
    """The report: how the script ends before and after, and the changes that make it so."""
    yield f"before: {_words(bisection.before)}"
    yield f"after:  {_words(bisection.after)}"
    yield (
        f"the {bisection.differs} differs by {len(found)} of {len(bisection.hunks)} changes "
        f"({bisection.trials} trials):"
    )
    for hunk in found:
        yield from ("  " + line for line in hunk.lines())


def _words(verdict: Verdict) -> str:
    words = VERDICTS[verdict["code"]]
    told = f", {verdict['expected']}" if verdict["code"] != PASS else ""
    return f"{words}{told}, trace {verdict['digest'][:16] or 'none'}"


def run(scripts: list[Path], old: Path, new: Path) -> int:
    """Say which changes make a script end in another way; exit code 1 when it does, 0 when it does not.

    Raises UsageError: several scripts, or folders that cannot be compared.
    """
    if len(scripts) != 1:
        raise UsageError(f"--bisect takes one script, not {len(scripts)}")
    found = Bisection(scripts[0], old, new)
    if not found.differs:
        print(
            f"before and after: {_words(found.before)}; {len(found.hunks)} changes make no difference to it"
        )
        return PASS
    with Console(stderr=True).status("bisecting") as status:
        kept = found.run(lambda words: status.update(f"bisecting: {words}"))
    print("\n".join(lines(kept, found)))
    return FAIL
