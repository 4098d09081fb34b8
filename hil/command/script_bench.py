"""Runs scripts of any games on one kind of target, one after another."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from firmware.base.errors import LinkError
from hil.bench.coverage import Coverage
from hil.bench.open_session import OpenSession
from hil.bench.outcome import FAIL, INVALID, PASS, Outcome, Problem
from hil.bench.run_clock import LOOK_MS
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import Vocabulary, of_game
from hil.bench.session import Session
from hil.bench.targets import faulty_wires
from hil.bench.targets.bad_line import BadLine
from hil.bench.targets.choose import IN_PROCESS, open_target
from hil.bench.targets.faulty_wires import FaultyWires
from hil.bench.targets.target import Target
from hil.bench.waves import WaveRecorder
from hil.game_tables import switch_rows
from hil.games import Game
from simulator.plant import Plant


class Bench:
    """Runs scripts of any games on one kind of target, one after another."""

    def __init__(
        self,
        target: str,
        real_time: bool = False,
        records_guards: bool = False,
        image: Path | None = None,
        line: str = "",
        wires: Sequence[str] = (),
        through: str = "",
    ) -> None:
        """`line` damages a serial line, in the words of BadLine; `wires` are faults of switches.

        `through`: the port of a stand-in for a playfield, by which contacts reach the board.
        """
        self._through = through
        self.target = target
        self.wires = wires
        self._line = BadLine.read(line) if line else None
        self._opened = 0  # lines so far, each of which has other damage
        self.image = image
        self.records_guards = records_guards
        self.real_time = real_time
        self.coverage: dict[str, Coverage] = {}
        """By game, over the scripts run so far."""
        self.ended = ""
        """The error that had ended the device's program before, as the device tells it."""
        self._vocabularies: dict[str, Vocabulary] = {}
        self._open: tuple[str, Target] | None = None

    def __enter__(self) -> "Bench":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def read(self, path: Path, game: Game) -> script.Script:
        """Parse a script and check it against its game. Raises ScriptError, GameError."""
        return script.read(path, self.vocabulary(game), shown(path))

    def run(self, played: script.Script, game: Game, with_waves: bool = False) -> Outcome:
        """Run one script; an error of the target makes its outcome INVALID.

        `with_waves`: record every signal, for which the target advances in short steps.
        """
        try:
            opened = self._target(game)
        except LinkError as error:
            return self._invalid(played, str(error))
        target = self._wired(opened, game)
        recorder = self._recorder(played, target) if with_waves else None
        plant = Plant(game.tables("routes"), *self._wires(game), seed=played.seed)
        at = recorder.target if recorder else target
        session = Session(played, at, self.vocabulary(game), game.wiring, plant, self.real_time)
        if recorder:
            recorder.watch(session.clock)
        outcome = session.run()
        outcome.waves = recorder.end() if recorder else None
        judge_stand_in(outcome, opened)
        if (faults := getattr(opened, "faults", None)) is not None:
            outcome.faults = [name for name, _ in faults]
        self.ended = getattr(opened, "ended", "") or self.ended
        names = self.vocabulary(game).names
        self.coverage.setdefault(game.name, Coverage(names)).add(session.covered)
        if outcome.code == INVALID:
            self.close()  # the next script gets a fresh line
        return outcome

    def _wired(self, target: Target, game: Game) -> Target:
        if not self.wires:
            return target
        return FaultyWires(target, faulty_wires.read(self.wires, switch_rows(game.wiring)))

    def _recorder(self, played: script.Script, target: Target) -> WaveRecorder:
        step_ms = 1 if self.target in IN_PROCESS else LOOK_MS
        return WaveRecorder(played.title or played.name, target, step_ms)

    def open(self, source: Path, game: Game) -> OpenSession:
        """A run whose lines a program gives. Raises LinkError, GameError."""
        words = self.vocabulary(game)
        plant = partial(Plant, game.tables("routes"), *self._wires(game))
        return OpenSession(
            source, self._wired(self._target(game), game), words, game.wiring, lambda seed: plant(seed=seed)
        )

    def _target(self, game: Game) -> Target:
        """The target for `game`, which stays open from script to script."""
        if self._open is not None and self._open[0] == str(game.folder):
            return self._open[1]
        self.close()
        line = None
        if self._line is not None:
            self._opened += 1
            line = partial(self._line.port, turn=self._opened)
        target = open_target(self.target, game, self.real_time, self.records_guards, self.image, line)
        if self._through:
            target = through_stand_in(target, self._through, game)
        self._open = (str(game.folder), target)
        return self._open[1]

    def close(self) -> None:
        """Close the target that is open: everything off."""
        if self._open is not None:
            self._open[1].close()
            self._open = None

    def vocabulary(self, game: Game) -> Vocabulary:
        """The names that scripts of `game` may use. Raises GameError."""
        key = str(game.folder)
        if key not in self._vocabularies:
            self._vocabularies[key] = of_game(game)
        return self._vocabularies[key]

    def _wires(self, game: Game) -> tuple[tuple[str, ...], tuple[str, ...]]:
        names = self.vocabulary(game).names
        return tuple(names.switches), tuple(names.coils)

    def _invalid(self, played: script.Script, reason: str) -> Outcome:
        return Outcome(
            str(played.path),
            played.title,
            played.covers,
            self.target,
            INVALID,
            reason=reason,
            real_time=self.real_time,
        )


def through_stand_in(target: Target, port: str, game: Game) -> Target:
    """The board whose contacts come through the stand-in at a port. Raises LinkError."""
    # Loaded only here, as pyserial is.
    from hil.bench.targets.link import open_port
    from hil.bench.targets.stand_in import StandInLine, StandInTarget

    try:
        return StandInTarget(target, StandInLine(open_port(port)), game)
    except LinkError:
        target.close()
        raise


def judge_stand_in(outcome: Outcome, target: Target) -> None:
    """A run through a stand-in fails where that saw other drives and lamps than the board told of."""
    differences: Callable[[], list[str]] | None = getattr(target, "differences", None)
    if differences is None or outcome.code not in (PASS, FAIL):
        return
    for sentence in differences():
        outcome.problems.append(
            Problem(0, "drives and lamps as the board says", sentence, outcome.simulated_ms, standing=True)
        )
        outcome.code = FAIL


def shown(path: Path) -> str:
    """A path as messages show it: relative when it is below the working directory."""
    try:
        return path.resolve().relative_to(Path.cwd()).as_posix()
    except ValueError:
        return str(path)
