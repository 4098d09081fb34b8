"""The workbench: a file of the game is saved, and the desk goes on with it.

The saved game is checked by `inlane check` in a process of its own; only what that accepts is taken up.
Where switches, lamps, coils, ball routes and drawing are as before, the machine goes on where it is;
otherwise it is switched on anew. An error in a rule takes the machine back to the frame before it, and stops
the time.
"""

import contextlib
import importlib
import json
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from firmware.base.errors import InlaneError
from hil import games
from hil.bench.targets.target import MachineStopped
from hil.checks.build import all_findings
from hil.checks.source import Finding
from hil.command.at_desk import DeskSetup, PlayedMachine
from hil.command.blamed_rows import rows_at, source_line
from hil.command.check import MORE
from hil.command.demands import BY_TABLES
from hil.command.file_watch import Stamps, stamps
from hil.command.past import RecordedMachine

if TYPE_CHECKING:
    from simulator.desk.desk import Desk
    from simulator.desk.files import FilesReport

LOOK_S = 0.4  # between two looks at the files
STUBS = (".pyi", ".json")  # what check itself writes for editors
TABLES = ("wiring.py", "host/tables.py", "host/routes.py", "host/machine.py", "host/playfield.svg")
COMMAND = "from hil.command import main; main()"
MOST = 5  # findings that are shown besides the first


class Checking:
    """`inlane check` of a game, in a process of its own."""

    def __init__(self, game: str) -> None:
        self._game = game
        self._out = tempfile.TemporaryFile("w+", encoding="utf-8")  # noqa: SIM115 - until the process ends
        self._process = subprocess.Popen(
            [sys.executable, "-c", COMMAND, "check", game, "--games", "0", "--json"],
            stdout=self._out,
            stderr=subprocess.STDOUT,
        )

    def result(self) -> list[Finding] | None:
        """What forbids to play; None: it is not known yet."""
        if self._process.poll() is None:
            return None
        self._out.seek(0)
        text = self._out.read()
        self._out.close()
        try:
            found = [Finding(**each) for each in json.loads(text)]
        except (ValueError, TypeError):
            last = (text.strip().splitlines() or ["nothing"])[-1]
            return [Finding(f"check could not be run: {last}", self._game)]
        return refusals(found)

    def end(self) -> None:
        """End the process; nobody waits for it any more."""
        if self._process.poll() is None:
            self._process.kill()
            self._process.wait()
        self._out.close()


def refusals(findings: list[Finding]) -> list[Finding]:
    """The findings that forbid to play."""
    return [one for one in findings if one.fatal and not one.power]


def checked(game: str) -> list[Finding]:
    """What check refuses of a game before it is opened. Raises UsageError: there is no such game."""
    return refusals(all_findings(game, MORE, BY_TABLES))


class Workbench:
    """Watches the files of the game that is played. `maker` gives what switches a machine of it on.

    `clock`: seconds that never go back.
    """

    def __init__(
        self,
        name: str,
        setup: DeskSetup,
        machine: RecordedMachine,
        maker: Callable[[DeskSetup], Callable[[], PlayedMachine]],
        clock: Callable[[], float] = time.monotonic,
        checking: Callable[[str], Checking] = Checking,
    ) -> None:
        self.setup = setup
        self._name = name
        self._machine = machine
        self._maker = maker
        self._clock = clock
        self._checking = checking
        self._run: Checking | None = None
        self._seen = self._stamps()
        self._loaded = self._seen
        self._tables = self._table_bytes()
        self._look_at = 0.0
        sys.dont_write_bytecode = True  # files saved within a second would be taken for those before

    def begin(self, desk: "Desk") -> None:
        """Show that files are watched, unless there is something to show of them."""
        from simulator.desk.files import UNWATCHED, WATCHED  # loaded only here, as the desk is

        if desk.files is UNWATCHED:
            desk.files = WATCHED

    def tend(self, desk: "Desk") -> "Desk":
        """Look at the files now and then, and take up what was saved; the desk to go on with."""
        if self._run is not None:
            refused = self._run.result()
            if refused is None:
                return desk
            self._run = None
            return self._answer(desk, refused)
        if self._clock() >= self._look_at:
            self._look_at = self._clock() + LOOK_S
            self._look(desk)
        return desk

    def halted(self, desk: "Desk", error: MachineStopped) -> "Desk":
        """A rule stopped the machine, which is back at the frame before: stop the time, show the line."""
        desk = self._renewed(desk)
        desk.report(report_of(error, self.setup.game.folder))
        return desk

    def close(self) -> None:
        """Nobody plays any more."""
        if self._run is not None:
            self._run.end()

    def _look(self, desk: "Desk") -> None:
        now = self._stamps()
        if now == self._seen:
            if now != self._loaded and not self._machine.is_serviced:
                self._loaded = now
                self._run = self._checking(self._name)
        else:  # wait until nothing changes for one look: an editor may write several files
            self._seen = now
            desk.message = "a file was saved: check looks at the game"

    def _answer(self, desk: "Desk", refused: list[Finding]) -> "Desk":
        if refused:
            desk.report(refused_report(refused))
            return desk
        try:
            with _reloading(self.setup.game.package):
                setup = DeskSetup(games.load(self._name))
                return self._take_up(desk, setup)
        except InlaneError as error:
            desk.report(refused_report([Finding(error.text, error.where or self._name)]))
            return desk

    def _take_up(self, desk: "Desk", setup: DeskSetup) -> "Desk":
        """Go on with a game that check accepts. Raises InlaneError, and changes nothing."""
        tables = self._table_bytes()
        was_stopped = desk.files.is_bad
        if tables == self._tables and _wiring(setup) == _wiring(self.setup):
            lost = self._machine.change(setup)
            words = "ball, score and states are as they were"
            if lost:
                words = f"ball and score are as they were; not kept: {len(lost)}"
        else:
            setup.desk(self._machine)  # its drawing and keys fit, or nothing is changed
            lost = []
            again = self._machine.switch_on(setup, self._maker(setup))
            words = "wiring, ball routes or drawing changed: the machine was switched on anew"
            words += ", and did again what was done by hand" if again else "; ball, score and states are gone"
        self.setup, self._tables = setup, tables
        desk = self._renewed(desk)
        desk.report(_good(words, tuple(lost)))
        if was_stopped:
            desk.pace.paused = False
        return desk

    def _renewed(self, desk: "Desk") -> "Desk":
        renewed = self.setup.desk(self._machine, self._machine)
        renewed.take_over(desk)
        return renewed

    def _stamps(self) -> Stamps:
        seen = stamps(self.setup.game.folder)
        return {path: stamp for path, stamp in seen.items() if path.suffix not in STUBS}

    def _table_bytes(self) -> dict[str, bytes]:
        """What the balls' table and the drawing are made of."""
        paths = [self.setup.game.folder / name for name in TABLES]
        return {str(path): path.read_bytes() for path in paths if path.is_file()}


def _wiring(setup: DeskSetup) -> tuple[object, ...]:
    names = setup.vocabulary.names
    return tuple(names.switches), tuple(names.lamps), tuple(names.coils), tuple(names.displays)


@contextlib.contextmanager
def _reloading(package: str) -> Iterator[None]:
    """Modules of a game are read anew within; after an error those before are there again."""
    before = {name: one for name, one in sys.modules.items() if (name + ".").startswith(package + ".")}
    games.forget(package)
    try:
        yield
    except Exception:
        games.forget(package)
        sys.modules.update(before)
        importlib.invalidate_caches()
        raise


def _good(words: str, lost: tuple[str, ...]) -> "FilesReport":
    from simulator.desk.files import FilesReport  # loaded only here: a bench without a desk has no use for it

    return FilesReport("taken up", words, remarks=lost)


def refused_report(refused: list[Finding]) -> "FilesReport":
    """What check refuses, with the rows that the first line belongs to."""
    from simulator.desk.files import FilesReport  # as above

    first = refused[0]
    path, number = _place(first.where)
    more = tuple(str(one) for one in refused[1 : 1 + MOST])
    rows = tuple(rows_at(path, number))
    source = source_line(path, number) if number else None
    return FilesReport("refused by check", first.text, True, first.where, source, rows, more)


def report_of(error: MachineStopped, folder: Path) -> "FilesReport":
    """The line of a rule that stopped the machine, with the rows that name its method."""
    from simulator.desk.files import FilesReport  # as above

    cause = error.__cause__ or error
    frames = traceback.extract_tb(cause.__traceback__)
    own = [frame for frame in frames if folder in Path(frame.filename).parents] or frames[-1:]
    if not own:
        return FilesReport("stopped by an error", str(error), True)
    path, number = Path(own[-1].filename), own[-1].lineno or 0
    words = f"{type(cause).__name__}: {cause}"
    where = f"{path.name}:{number}"
    rows = next((found for frame in own[::-1] if (found := rows_at(path, frame.lineno or 0))), [])
    return FilesReport("stopped by an error", words, True, where, source_line(path, number), tuple(rows))


def _place(where: str) -> tuple[Path, int]:
    """The file and line of FILE:LINE; line 0 where none is given."""
    path, _, number = where.rpartition(":")
    return (Path(path), int(number)) if number.isdigit() else (Path(where), 0)
