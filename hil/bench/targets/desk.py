"""The target in this process: a console under CPython, advanced by the bench in lock-step."""

import traceback
from collections.abc import Sequence
from pathlib import Path

from boards.unix.file_store import FileStore
from firmware.base.errors import LinkError
from firmware.base.trace import RECORD
from firmware.console import Console
from hil.bench.targets.endless import STUCK, EndlessGuard
from hil.bench.targets.guard_recorder import Answer, GuardRecorder
from hil.bench.targets.target import MachineStopped
from hil.games import Game

SLICE_MS = 100  # the trace's ring is emptied this often


class DeskTarget:
    """A console of `game` in this process; with `records_guards` its guards' answers are in `answers`."""

    _console: Console  # of the present run, made by `start`

    def __init__(self, game: Game, records_guards: bool = False) -> None:
        self.name = "desk"
        self._game = game
        self.records_guards = records_guards
        self._kind = GuardRecorder if records_guards else Console
        self._kept: Path | None = None
        self._has_run = False  # with that file
        self._answered: list[Answer] = []  # before the last power-on
        self._buffer = bytearray(RECORD * 256)
        self._parts: list[bytes] = []
        self._endless = EndlessGuard()

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """A fresh console. Raises GameError when a setting is refused."""
        self._parts.clear()
        store = FileStore(str(self._kept), self._game.name) if self._kept else None
        self._answered = list(self.answers) if self._has_run else []
        self._has_run = self._kept is not None
        self._console = self._game.console(seed=seed, settings=settings, store=store, kind=self._kind)

    def keep(self, file: Path | None) -> None:
        """From the next start on, what the machine keeps is in `file`; None: nothing is kept."""
        self._kept = file
        self._has_run = False

    @property
    def answers(self) -> Sequence[Answer]:
        """The answers of guards in this run so far; empty without `records_guards`."""
        answers: list[Answer] = getattr(self._console, "answers", [])
        return self._answered + answers if self._answered else answers

    def asked(self) -> list[tuple[int, Answer]]:
        """Each answer of a guard since the last start, with its time (ms since then)."""
        if not isinstance(self._console, GuardRecorder):
            return []
        return list(zip(self._console.asked_ms, self._console.answers, strict=True))

    @property
    def faults(self) -> list[tuple[str, int]]:
        """Name and detail of each fault in the machine's fault log."""
        log = self._console.play.faults
        return [(log.name(at), log.numbers(at)[0]) for at in range(log.count)]

    def contact(self, switch: int, closed: bool) -> None:
        """Change a raw contact at the present time. Raises MachineStopped."""
        try:
            self._console.contact(switch, closed)
        except Exception as error:
            raise self._stopped(error) from error

    def advance(self, until_ms: int) -> int:
        """Run to `until_ms` or just after a COIL record; returns the time reached. Raises MachineStopped."""
        console = self._console
        made = console.coils.made
        try:
            while True:
                goal = min(until_ms, console.now + SLICE_MS)
                with self._endless:
                    reached = int(console.run_to(goal, until_coil=True))
                self._drain()
                if goal == until_ms or console.coils.made != made:
                    return reached
        except Exception as error:
            raise self._stopped(error) from error

    def _stopped(self, error: Exception) -> MachineStopped:
        return MachineStopped(crash_message(error, self._game.folder), int(self._console.now))

    def due(self) -> int | None:
        """When (ms) the console does something by itself; None: never."""
        wait = self._console.due()
        return None if wait < 0 else int(self._console.now + wait)

    def records(self) -> bytes:
        """The records since the last call. Raises LinkError when records or events were lost."""
        self._drain()
        if self._console.engine.dropped:
            raise LinkError(f"the charts' queues overflowed: {self._console.engine.dropped} events lost")
        if self._console.trace.lost:
            raise LinkError(f"the trace's ring overflowed: {self._console.trace.lost} records lost")
        data = b"".join(self._parts)
        self._parts.clear()
        return data

    def _drain(self) -> None:
        trace = self._console.trace
        while trace.held():
            count = trace.take(self._buffer, 0, len(self._buffer) // RECORD)
            self._parts.append(bytes(self._buffer[: count * RECORD]))

    def windows(self) -> list[int]:
        """Of each window the ms left; 0: closed, negative: it stands still."""
        return [int(self._console.window_left(at)) for at in range(len(self._console.play.windows))]

    def values(self) -> list[int]:
        """Every value of the game; those of a player are the playing player's."""
        return [int(value.value) for value in self._console.memory.values]

    def finish(self) -> bytes:
        """The console's own digest of its trace, which ends here."""
        return bytes(self._console.trace.digest())

    def close(self) -> None:
        """Does nothing: this process drives no output."""


def crash_message(error: Exception, folder: Path) -> str:
    """An exception of the rules in one line; the author's line of the game in `folder` comes first."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if folder in Path(frame.filename).parents]
    words = f"{type(error).__name__}: {error}"
    if not frames:
        return f"it stopped: {words}"
    if not own or own[-1] is frames[-1] or STUCK in words:
        return f"it stopped at {_place((own or frames)[-1])}: {words}"
    return f"it stopped at {_place(own[-1])}: {words} (raised at {_place(frames[-1])})"


def _place(frame: traceback.FrameSummary) -> str:
    return f"{Path(frame.filename).name}:{frame.lineno} in {frame.name}"
