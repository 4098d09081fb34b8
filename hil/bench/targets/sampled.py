"""A target that is looked into after each short step of its time; its trace stays what it was."""

from collections.abc import Callable
from pathlib import Path

from firmware.base.errors import LinkError
from firmware.base.trace import COIL
from hil.bench.targets.target import InspectedTarget, PoweredTarget, Target
from hil.bench.view import decode

Look = Callable[[int, list[int], list[int]], None]
"""Takes the time (ms since start), the windows and the values of that time."""


class SampledTarget:
    """`inner`, advanced by `step_ms` at most; `look` is called after each step that made a record.

    It ends an advance where `inner` would: after a millisecond with a COIL record. Windows and values change
    with events only, which are records.
    """

    def __init__(self, inner: Target, step_ms: int, look: Look) -> None:
        self.name = inner.name
        self._inner = inner
        self._inside = inner if isinstance(inner, InspectedTarget) else None
        self._step_ms = step_ms
        self._look = look
        self._now = 0
        self._records = bytearray()

    @property
    def can_tell(self) -> bool:
        """Whether windows and values are known of this target."""
        return self._inside is not None

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start a fresh console at time 0."""
        self._now = 0
        self._records.clear()
        self._inner.start(seed, settings)

    def keep(self, file: Path | None) -> None:
        """As the target itself. Raises LinkError when its power cannot be switched."""
        if not isinstance(self._inner, PoweredTarget):
            raise LinkError(f"the bench cannot switch the power of '{self.name}'")
        self._inner.keep(file)

    def contact(self, switch: int, closed: bool) -> None:
        """Change a raw contact at the present time."""
        self._inner.contact(switch, closed)

    def advance(self, until_ms: int) -> int:
        """Run to `until_ms`, or to just after a COIL record; returns the time reached."""
        while True:
            goal = min(until_ms, self._now + self._step_ms)
            reached = self._inner.advance(max(goal, self._now))
            self._now = reached
            fresh = self._inner.records()
            self._records += fresh
            if fresh and self._inside is not None:
                self._look(reached, self._inside.windows(), self._inside.values())
            if reached >= until_ms or reached < goal or any(r.kind == COIL for r in decode(fresh)):
                return reached

    def records(self) -> bytes:
        """The records since the last call."""
        records = bytes(self._records) + self._inner.records()
        self._records.clear()
        return records

    def windows(self) -> list[int]:
        """As the target itself. Raises LinkError when it cannot be asked."""
        return self._asked().windows()

    def values(self) -> list[int]:
        """As the target itself. Raises LinkError when it cannot be asked."""
        return self._asked().values()

    def _asked(self) -> InspectedTarget:
        if self._inside is None:
            raise LinkError(f"windows and values cannot be read on '{self.name}'")
        return self._inside

    def finish(self) -> bytes:
        """The machine's own digest of its trace."""
        return self._inner.finish()

    def close(self) -> None:
        """Leave the machine with everything off."""
        self._inner.close()
