"""Mutations of a game's rules: planted one at a time, tried by its scripts, the caught ones shrunk."""

import queue
import re
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import UsageError
from hil.command.judging import Judge
from hil.command.mutant_checks import scripts_in
from hil.command.small_scripts import SmallScript, small_script
from hil.games import BUILT_IN, Game
from hil.mutation.copies import CHECKOUT, Tree, TreeCopy, source_files
from hil.mutation.hunt import draw, verdicts
from hil.mutation.mutants import Mutant, rule_mutants
from hil.mutation.trial import Verdict

SCRIPT = "script:"
SETTINGS = "settings.py"
ROW = "row"  # the kind of a mutation that drops a row
_NAME = re.compile(r'^    name = "(\w+)"', re.MULTILINE)  # of a feature, in its source


@dataclass(frozen=True)
class RuleFault:
    """A mutation of a rule with its verdict, and the smallest script that shows it."""

    verdict: Verdict
    small: SmallScript | None = None

    @property
    def script(self) -> str:
        """The script that noticed it, from the top of the tree; "" when none did."""
        return self.verdict.by.removeprefix(SCRIPT) if self.verdict.by.startswith(SCRIPT) else ""

    @property
    def changed(self) -> tuple[str, ...] | None:
        """The scripts that passed with another trace; None for a dropped row: a trace numbers rows."""
        return None if self.verdict.mutant.kind == ROW else self.verdict.changed


class RuleHunt:
    """The mutations of one game's rules, drawn by a seed; its settings are left alone.

    Raises UsageError: nothing to change, no scripts.
    """

    def __init__(self, game: Game, count: int, seed: int) -> None:
        self._is_built_in = game.folder.parent == BUILT_IN
        self.tree = CHECKOUT if self._is_built_in else Tree(game.folder.parent, (game.folder.name,))
        self._game = game.folder.relative_to(self.tree.top)
        self.checks = list(scripts_in(self.tree.top, game.scripts))
        if not self.checks:
            raise UsageError("the game has no scripts that could notice a fault", str(game.scripts))
        files = source_files([self._game.as_posix()], self.tree.top)
        files = [file for file in files if file != (self._game / SETTINGS).as_posix()]
        self.drawn = draw(files, count, seed, self.tree, rule_mutants)

    def run(self, workers: int) -> Iterator[RuleFault]:
        """Try every mutation by the scripts that run its line: first those that cover its feature."""
        covers = {name: _covered(self.tree.top / name.removeprefix(SCRIPT)) for name in self.checks}

        def near(mutant: Mutant) -> list[str]:
            text = (self.tree.top / mutant.file).read_text(encoding="utf-8")
            inside = set(_NAME.findall(text))
            return [name for name, features in covers.items() if inside & features]

        tried = verdicts(self.drawn, self.checks, workers, self.tree, near)
        yield from (RuleFault(verdict) for verdict in tried)

    def shrink(self, found: list[RuleFault], workers: int) -> Iterator[RuleFault]:
        """The faults, in their order, each caught one with its smallest script."""
        texts = dict(self.drawn)
        pairs: queue.SimpleQueue[tuple[TreeCopy, Judge]] = queue.SimpleQueue()
        with ExitStack() as stack:
            for _ in range(workers):
                folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="inlane-fault-"))
                sound = self._judge(self.tree.top)
                stack.callback(sound.close)
                pairs.put((TreeCopy(Path(folder).resolve(), self.tree), sound))

            def shrunk(one: RuleFault) -> RuleFault:
                if not one.script:
                    return one
                copy, sound = pairs.get()
                try:
                    return self._shrunk(one, texts[one.verdict.mutant], copy, sound)
                finally:
                    pairs.put((copy, sound))

            with ThreadPoolExecutor(workers) as pool:
                yield from pool.map(shrunk, found)

    def _shrunk(self, found: RuleFault, changed: str, copy: TreeCopy, sound: Judge) -> RuleFault:
        """`changed`: the text of the file with the fault, which `copy` has for that time."""
        file = found.verdict.mutant.file
        copy.write(file, changed)
        faulty = self._judge(copy.top)
        try:
            text = (self.tree.top / found.script).read_text(encoding="utf-8")
            return RuleFault(found.verdict, small_script(Path(found.script).name, text, faulty, sound))
        finally:
            faulty.close()
            copy.restore(file)

    def _judge(self, top: Path) -> Judge:
        return Judge(top, self._game.name if self._is_built_in else str(top / self._game))


def _covered(script: Path) -> set[str]:
    """The features that a script's `covers` line has."""
    for line in script.read_text(encoding="utf-8").splitlines():
        if line.startswith("covers "):
            return set(line.replace(",", " ").split()[1:])
    return set()


def write_small(found: list[RuleFault], folder: Path) -> int:
    """Write the smallest scripts, a file each; how many. Raises UsageError: not writable."""
    small = [one for one in found if one.small is not None]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for number, one in enumerate(small, 1):
            assert one.small is not None
            name = f"{number:03}_{Path(one.script).stem}.play"
            (folder / name).write_text(one.small.as_text(str(one.verdict.mutant)), encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the scripts cannot be written: {error.strerror or error}", str(folder)) from None
    return len(small)
