"""Runs checks in a process of its own, for `inlane mutants`: scripts, tests of both Pythons, tests of pytest.

A check is named `script:PATH`, `both:MODULE.FUNCTION` or `pytest:FILE`; paths from the top of the tree.
"""

import importlib
import json
import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO, TypedDict

from hil.command.replay import Bench, game_of

BOTH = "tests/both"
LISTED = "tests/mutants/pytest.txt"
SLOW = "tests/mutants/pytest_slow.txt"


class Check(TypedDict):
    """One check, the CPU seconds it may take (0: no limit), and its trace's hash without a mutant."""

    name: str
    limit_s: float
    digest: str


class Answers:
    """The file that answers go to, a line of JSON each."""

    def __init__(self, file: TextIO, reached: bytearray | None) -> None:
        self._file = file
        self._reached = reached
        self._began = 0.0
        self.ran = 0
        self.name = ""
        self.changed: list[str] = []
        """The checks that passed with another trace."""

    def imported(self) -> None:
        """Report what the imports so far have reached."""
        assert self._reached is not None
        hit = [number for number, byte in enumerate(self._reached) if byte]
        self.write({"name": "", "cpu_s": 0.0, "reached": hit})

    def begin(self, check: Check) -> None:
        """A check begins; its CPU time is limited from here."""
        self.name = check["name"]
        self._began = time.process_time()
        signal.setitimer(signal.ITIMER_VIRTUAL, check["limit_s"])
        if self._reached is not None:
            self._reached[:] = bytes(len(self._reached))

    def end(self, digest: str, usual: str) -> None:
        """The check passed, with a trace of this hash ("" if none); `usual`: the hash without a mutant."""
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        self.ran += 1
        if usual and digest != usual:
            self.changed.append(self.name)
        if self._reached is not None:
            hit = [number for number, byte in enumerate(self._reached) if byte]
            cpu_s = time.process_time() - self._began
            self.write({"name": self.name, "cpu_s": cpu_s, "reached": hit, "digest": digest})

    def red(self, why: str) -> None:
        """The check failed."""
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        self.write({"red": self.name, "why": why[:300], "ran": self.ran})

    def write(self, line: dict[str, object]) -> None:
        """One line of answer."""
        self._file.write(json.dumps(line) + "\n")
        self._file.flush()

    def out_of_time(self, *_: object) -> None:
        """End this process: no exception, which the code under test might catch."""
        self.red("more CPU time than it may take")
        os._exit(0)


def run(checks: list[Check], answer: str, reached: bytearray | None, modules: list[str]) -> None:
    """Run checks in their order until one fails; with `reached` run all, and report what each reaches.

    What the import of `modules` reaches is reported first, as of the check "".
    """
    sys.path.insert(0, str(Path(BOTH).resolve()))
    with open(answer, "a", encoding="utf-8") as file, Bench("desk") as bench:
        answers = Answers(file, reached)
        if reached is not None:
            for module in modules:
                importlib.import_module(module)
            answers.imported()
        signal.signal(signal.SIGVTALRM, answers.out_of_time)
        for check in checks:
            answers.begin(check)
            try:
                why, digest = _failure(bench, check["name"])
            except Exception as error:
                why, digest = repr(error), ""
            if not why:
                answers.end(digest, check["digest"])
                continue
            answers.red(why)
            if reached is None:
                return
        if reached is None:
            answers.write({"ran": answers.ran, "changed": answers.changed})


def _failure(bench: Bench, name: str) -> tuple[str, str]:
    """Why a check fails, "" when it passes; and a script's trace hash. Raises whatever a test raises."""
    kind, _, what = name.partition(":")
    if kind == "script":
        return _script(bench, Path(what))
    if kind == "both":
        module, _, function = what.rpartition(".")
        getattr(importlib.import_module(module), function)()
        return "", ""
    import pytest  # here: a hunt in one game's rules has no use for it

    code = pytest.main(["-q", "-x", "-m", "not slow", "-p", "no:cacheprovider", what])
    return ("" if code == 0 else f"pytest ended with {int(code)}"), ""


def _script(bench: Bench, path: Path) -> tuple[str, str]:
    game = game_of(path, "")
    outcome = bench.run(bench.read(path, game), game)
    if not outcome.code:
        return "", outcome.digest
    why = outcome.reason or f"{outcome.problems[0].expected}, but {outcome.problems[0].seen}"
    return why, outcome.digest


def scripts_in(top: Path, folder: Path) -> Iterator[str]:
    """A check for each script of a folder in the tree."""
    for path in sorted(folder.rglob("*.play")):
        yield f"script:{path.relative_to(top).as_posix()}"


def scripts_of(top: Path, games: list[str]) -> Iterator[str]:
    """A check for each script of games, by their folders' names."""
    for game in games:
        yield from scripts_in(top, top / "firmware/games" / game / "scripts")


def tests_of_both(top: Path) -> Iterator[str]:
    """A check for each function of tests/both, which pytest and MicroPython run, too."""
    for path in sorted((top / BOTH).glob("test_*.py")):
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith("def test_"):
                yield f"both:{path.stem}.{line[4:].partition('(')[0]}"


def tests_of_pytest(top: Path, listed: str) -> Iterator[str]:
    """A check for each file of the list `listed`, without its slow tests."""
    for line in (top / listed).read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            yield f"pytest:{line}"
