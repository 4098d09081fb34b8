"""Worker processes for a list of jobs; results come in the order of the jobs."""

import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import TypeVar

Job = TypeVar("Job")
Made = TypeVar("Made")
FEW = 16  # up to so many jobs another process does not pay
AHEAD = 4  # jobs queued for each process


def workers_here() -> int:
    """One process for each of this machine's cores."""
    return os.cpu_count() or 1


def parts(count: int, size: int) -> list[int]:
    """`count` split into parts of `size`; the last one may be smaller."""
    return [min(size, count - done) for done in range(0, count, size)]


def map_in_order(work: Callable[[Job], Made], jobs: Iterable[Job], workers: int) -> Iterator[Made]:
    """`work(job)` for each job, in their order; jobs may be endless. With one worker, in this process."""
    waiting = iter(jobs)
    if workers == 1:
        yield from map(work, waiting)
        return
    # Not forked: a process with threads may leave its copy waiting for a lock for ever.
    with multiprocessing.get_context("spawn").Pool(workers) as pool:
        sent = deque(pool.apply_async(work, (job,)) for job in islice(waiting, workers * AHEAD))
        while sent:
            yield sent.popleft().get()
            sent.extend(pool.apply_async(work, (job,)) for job in islice(waiting, 1))
