"""Tries mutants in copies of a tree, several at a time, each by the checks that run its statement."""

import hashlib
import queue
import tempfile
from collections import Counter
from collections.abc import Callable, Collection, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

from firmware.base.errors import UsageError
from hil.mutation.copies import CHECKOUT, Tree, TreeCopy
from hil.mutation.mutants import Mutant, applied, mutants
from hil.mutation.reach import ReachMap
from hil.mutation.trial import Verdict, judge, map_reach

Drawn = tuple[Mutant, str]
"""A mutant, and its file's text changed."""
Finder = Callable[[str, str], list[Mutant]]
Near = Callable[[Mutant], Collection[str]]
"""The checks that are the likeliest to notice a mutant; they are run first."""


def draw(
    files: list[str], count: int, seed: int, tree: Tree = CHECKOUT, find: Finder = mutants
) -> list[Drawn]:
    """`count` mutants of files, or all when there are fewer; each with its file's text changed.

    Each mutant's rank comes from the seed and the mutant alone, so a change elsewhere draws the same others;
    of mutants alike, as in a table of equal lines, each has a rank of its own.
    Raises UsageError when there are none.
    """
    texts = {file: (tree.top / file).read_text(encoding="utf-8") for file in files}
    every = [mutant for file in files for mutant in find(file, texts[file])]
    if not every:
        raise UsageError("nothing there can be changed", ", ".join(files))
    drawn = sorted(zip(every, _places(every), strict=True), key=lambda one: _rank(one[0], one[1], seed))[
        :count
    ]
    return [(mutant, applied(texts[mutant.file], mutant)) for mutant, _ in drawn]


def _places(every: list[Mutant]) -> list[int]:
    """The place of each mutant among those with its key, from 0."""
    seen: Counter[tuple[str, str, str, str]] = Counter()
    places = []
    for mutant in every:
        places.append(seen[mutant.key])
        seen[mutant.key] += 1
    return places


def _rank(mutant: Mutant, place: int, seed: int) -> bytes:
    words = "\n".join((str(seed), *mutant.key, *([str(place)] if place else ())))
    return hashlib.sha256(words.encode()).digest()


def verdicts(
    drawn: list[Drawn], checks: list[str], workers: int, tree: Tree = CHECKOUT, near: Near = lambda _: ()
) -> Iterator[Verdict]:
    """The verdict on each mutant, in their order; each worker has a copy of the tree.

    Raises UsageError when a check fails without a mutant.
    """
    copies: queue.SimpleQueue[TreeCopy] = queue.SimpleQueue()
    with ExitStack() as stack:
        folders = [
            stack.enter_context(tempfile.TemporaryDirectory(prefix="inlane-mutant-")) for _ in range(workers)
        ]
        for folder in folders:
            copies.put(TreeCopy(Path(folder), tree))
        reach = _reach(copies, sorted({mutant.file for mutant, _ in drawn}), checks)

        def tried(one: Drawn) -> Verdict:
            copy = copies.get()
            try:
                first = near(one[0])
                seeing = sorted(reach.seeing(one[0]), key=lambda check: check.name not in first)
                return judge(copy, *one, seeing)
            finally:
                copies.put(copy)

        with ThreadPoolExecutor(workers) as pool:
            yield from pool.map(tried, drawn)


def _reach(copies: queue.SimpleQueue[TreeCopy], files: list[str], checks: list[str]) -> ReachMap:
    copy = copies.get()
    try:
        return map_reach(copy, files, checks)
    finally:
        copies.put(copy)
