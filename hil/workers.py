"""Worker processes for a list of jobs; results come in the order of the jobs."""

import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from multiprocessing import parent_process
from typing import TypeVar

from joblib import Parallel, delayed, parallel_config

from firmware.base.errors import UsageError

Job = TypeVar("Job")
Made = TypeVar("Made")
FEW = 16  # up to so many jobs another process does not pay
AHEAD = 2  # jobs queued for each process
HERE = ""  # the backend's name that means processes of this machine


def workers_here() -> int:
    """One process for each of this machine's cores."""
    return os.cpu_count() or 1


def parts(count: int, size: int) -> list[int]:
    """`count` split into parts of `size`; the last one may be smaller."""
    return [min(size, count - done) for done in range(0, count, size)]


def map_in_order(
    work: Callable[[Job], Made], jobs: Iterable[Job], workers: int, backend: str = HERE
) -> Iterator[Made]:
    """`work(job)` for each job, in their order; jobs may be endless. With one worker, in this process.

    `backend`: a name that joblib knows, such as "dask" or "ray" once their packages have registered it; the
    jobs are then spread over that cluster. Raises UsageError when joblib does not know the name.
    """
    if workers == 1 and not backend:
        yield from map(work, jobs)
        return
    ended = False

    def sent() -> Iterator[Job]:
        for job in jobs:
            if ended:
                return
            yield job

    with _configured(backend):
        pool = Parallel(n_jobs=workers, return_as="generator", pre_dispatch=workers * AHEAD, batch_size=1)
        results = pool(delayed(_shielded)(work, job) for job in sent())
        try:
            for made in results:  # noqa: UP028 - `yield from` would close it when its reader stops early
                yield made
        finally:
            ended = True  # jobs under way are finished, not torn down
            for _ in results:
                pass


def _shielded(work: Callable[[Job], Made], job: Job) -> Made:
    """One job, out of reach of Ctrl-C: the process that sent it decides."""
    if threading.current_thread() is threading.main_thread() and parent_process() is not None:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    return work(job)


def _configured(backend: str) -> parallel_config:
    if not backend:
        return parallel_config(backend="loky")
    try:
        return parallel_config(backend=backend)
    except (ValueError, ImportError, OSError) as error:
        reason = " ".join(str(error).split())
        raise UsageError(f"joblib has no backend '{backend}' here: {reason}") from None
