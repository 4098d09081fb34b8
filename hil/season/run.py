"""Plays the games of a season in blocks, adds them up while they are played, and keeps what is done.

The aggregate is the same to the byte for any number of workers, and after any interruption.
"""

import json
import os
import signal
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import NamedTuple

from firmware.base.errors import UsageError
from hil.bench.game_result import GameResult
from hil.season.aggregate import Aggregate, aggregate_of
from hil.workers import map_in_order

BLOCK = 20  # games that a worker plays before it sends their results
KEPT_EVERY = 8  # blocks between two writings of the file


class Block(NamedTuple):
    """Games that are played one after the other: `first` is the place of the first one, from 0."""

    first: int
    games: int


@dataclass
class Progress:
    """What is played of a season, and the sums of it. `what` says which season, for `resumed`."""

    what: str
    done: int = 0
    aggregate: Aggregate = field(default_factory=Aggregate)

    def write(self, path: Path) -> None:
        """Keep it in a file, whole or not at all. Raises UsageError when it cannot be written."""
        head = json.dumps({"season": self.what, "done": self.done})
        write_whole(path, head + "\n" + self.aggregate.text() + "\n")


def write_whole(path: Path, text: str) -> None:
    """Write a file, whole or not at all. Raises UsageError when it cannot be written."""
    beside = path.with_name(path.name + ".new")
    try:
        beside.write_text(text, encoding="utf-8")
        os.replace(beside, path)
    except OSError as error:
        raise UsageError(f"the season cannot be kept: {error.strerror or error}", str(path)) from None


def resumed(what: str, games: int, path: Path) -> Progress:
    """The progress that a file has; a fresh one when there is no file.

    Raises UsageError when it is of another season, has more games than these, or is no such file.
    """
    if not path.exists():
        return Progress(what)
    try:
        head, sums = path.read_text(encoding="utf-8").splitlines()
        kept = json.loads(head)
        progress = Progress(str(kept["season"]), int(kept["done"]), aggregate_of(sums))
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise UsageError(f"no season can be resumed from this file: {error}", str(path)) from None
    if progress.what != what:
        raise UsageError(f"this file has another season: {progress.what}; asked for is {what}", str(path))
    if progress.done > games:
        raise UsageError(f"this file has {progress.done} games already; asked for are {games}", str(path))
    return progress


class Stop:
    """Within it the first Ctrl-C sets `wanted`, and games under way end; the second one is an interrupt."""

    def __init__(self) -> None:
        self.wanted = False

    def __enter__(self) -> "Stop":
        self._is_main = threading.current_thread() is threading.main_thread()
        if self._is_main:
            self._before = signal.signal(signal.SIGINT, self._interrupt)
        return self

    def __exit__(self, *_: object) -> None:
        if self._is_main:
            signal.signal(signal.SIGINT, self._before)

    def _interrupt(self, _number: int, _frame: FrameType | None) -> None:
        if self.wanted:
            raise KeyboardInterrupt
        self.wanted = True


@dataclass(frozen=True)
class Run:
    """How a season is played: by how many worker processes, on which of joblib's backends (see workers).

    `kept`: the file in which progress is kept. `each` gets every result, in order of the games.
    """

    workers: int = 1
    backend: str = ""
    kept: Path | None = None
    each: Callable[[GameResult], object] | None = None

    def play(
        self, play_block: Callable[[Block], list[GameResult]], games: int, progress: Progress, stop: Stop
    ) -> Iterator[int]:
        """Play on until `games` are done or `stop.wanted`; yields the number of games done after each block.

        `progress` has the sums. Raises what `play_block` raises, and UsageError.
        """
        written = progress.done
        try:
            blocks = _blocks(progress.done, games, stop)
            for played in map_in_order(play_block, blocks, self.workers, self.backend):
                for one in played:
                    progress.aggregate.add(one)
                    if self.each is not None:
                        self.each(one)
                progress.done += len(played)
                if self.kept is not None and progress.done - written >= BLOCK * KEPT_EVERY:
                    progress.write(self.kept)
                    written = progress.done
                yield progress.done
        finally:
            if self.kept is not None:
                progress.write(self.kept)


def _blocks(done: int, games: int, stop: Stop) -> Iterator[Block]:
    for first in range(done, games, BLOCK):
        if stop.wanted:
            return
        yield Block(first, min(BLOCK, games - first))
