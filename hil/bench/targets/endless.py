"""Interrupts a rule that does not return, so that a loop without an end is reported by its line."""

import signal
import threading
from types import FrameType

CPU_S = 10
EVERY = 256  # calls between two settings of the timer, each of which takes some microseconds
STUCK = f"no return within {CPU_S} s of CPU time; a loop may have no end"


class EndlessGuard:
    """A context around each call of rules; raises TimeoutError in a call that takes CPU_S of CPU time.

    It needs POSIX signals and the main thread of its process; elsewhere it does nothing.
    """

    def __init__(self) -> None:
        self._calls = 0
        self._is_inside = False

    def __enter__(self) -> None:
        if not self._calls % EVERY:
            self._set_timer()
        self._calls += 1
        self._is_inside = True

    def __exit__(self, *_: object) -> None:
        self._is_inside = False

    def _set_timer(self) -> None:
        if hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread():
            signal.signal(signal.SIGVTALRM, self._interrupt)
            signal.setitimer(signal.ITIMER_VIRTUAL, CPU_S)

    def _interrupt(self, _number: int, _frame: FrameType | None) -> None:
        if self._is_inside:
            self._calls = 0  # the next call sets the timer again
            raise TimeoutError(STUCK)
