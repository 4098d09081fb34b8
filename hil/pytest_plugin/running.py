"""The target of one pytest process, on which scripts and tests are played one after another."""

from pathlib import Path

import pytest

from firmware.base.errors import InlaneError
from hil.bench import report
from hil.bench.outcome import Outcome
from hil.command.replay import Bench, game_of, shown
from hil.pytest_plugin.hands import Hands

RUNNING = pytest.StashKey["Running"]()


class NotPassed(Exception):
    """A script that does not pass; the text is its report."""

    def __init__(self, outcome: Outcome) -> None:
        super().__init__("\n".join(report.lines(outcome)))


def running_of(config: pytest.Config) -> "Running":
    """What plays this process's tests; made once, when the first one needs it, and closed at the end."""
    if RUNNING not in config.stash:
        made = Running(config.getoption("--inlane-on"), config.getoption("--inlane-game"))
        config.stash[RUNNING] = made
        config.add_cleanup(made.close)
    return config.stash[RUNNING]


class Running:
    """Plays scripts, and makes machines for tests, on `target`; `game` is "" when folders tell it."""

    def __init__(self, target: str, game: str) -> None:
        self._bench = Bench(target)
        self._game = game

    def play(self, path: Path) -> Outcome:
        """Play a script. Raises NotPassed unless it passes; UsageError, GameError, ScriptError."""
        game = game_of(path, self._game)
        outcome = self._bench.run(self._bench.read(path, game), game)
        outcome.path = shown(path)
        if outcome.code:
            raise NotPassed(outcome)
        return outcome

    def hands(self, path: Path) -> Hands:
        """A machine for the test in `path`. Raises UsageError, GameError, LinkError."""
        return Hands(self._bench.open(path, game_of(path, self._game)))

    def close(self) -> None:
        """Leave the target with everything off."""
        self._bench.close()


def words(error: BaseException) -> str:
    """An error of ours as pytest shows it: without a traceback; "" for any other."""
    return str(error) if isinstance(error, (NotPassed, InlaneError)) else ""
