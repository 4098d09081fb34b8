"""What the questions of `inlane tune` have played: plan by plan the sums and measures, kept in one file."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from firmware.base.errors import UsageError
from hil.season.aggregate import aggregate_of
from hil.season.measures import Measured, measured_of
from hil.season.run import Progress, write_whole


@dataclass
class PlanProgress(Progress):
    """The progress of one plan of games; it is written with those that were played before it."""

    measured: Measured = field(default_factory=Measured)
    kept: "Kept | None" = None

    def write(self, path: Path) -> None:
        """Keep it in the file. Raises UsageError when it cannot be written."""
        if self.kept is not None:
            self.kept.write(self, path)

    def line(self) -> str:
        """As JSON in one line."""
        plain = {"plan": self.what, "done": self.done, "measured": self.measured.plain()}
        return json.dumps(plain, separators=(",", ":")) + "\t" + self.aggregate.text()


class Kept:
    """The plans of one question. `what` says which; without a `path` nothing is kept."""

    def __init__(self, what: str, path: Path | None = None) -> None:
        """Raises UsageError when the file is of another question, or is no such file."""
        self.what = what
        self._lines: dict[str, str] = {}
        if path is not None and path.exists():
            self._lines = dict(_lines_of(what, path))

    def progress(self, plan: str, games: int) -> PlanProgress:
        """What is played of a plan of so many games. Raises UsageError when more are."""
        line = self._lines.get(plan)
        if line is None:
            return PlanProgress(plan, kept=self)
        head, _, sums = line.partition("\t")
        plain = json.loads(head)
        done, measured = plain["done"], measured_of(plain["measured"])
        if done > games:
            raise UsageError(f"--resume: the file has {done} games of a plan already; asked for are {games}")
        return PlanProgress(plan, done, aggregate_of(sums), measured, self)

    def write(self, progress: PlanProgress, path: Path) -> None:
        """Write the file anew, whole or not at all. Raises UsageError when it cannot be written."""
        self._lines[progress.what] = progress.line()
        lines = [json.dumps({"question": self.what}), *self._lines.values()]
        write_whole(path, "\n".join(lines) + "\n")


def _lines_of(what: str, path: Path) -> Iterator[tuple[str, str]]:
    """The lines of a file by their plans."""
    try:
        first, *lines = path.read_text(encoding="utf-8").splitlines()
        asked = str(json.loads(first)["question"])
        plans = [str(json.loads(line.partition("\t")[0])["plan"]) for line in lines]
        for line in lines:
            aggregate_of(line.partition("\t")[2])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise UsageError(f"no question can be resumed from this file: {error}", str(path)) from None
    if asked != what:
        raise UsageError(f"this file has another question: {asked}; asked for is {what}", str(path))
    yield from zip(plans, lines, strict=True)
