"""Writes a run as a script of contacts, with proposed expectations if they are wanted."""

from pathlib import Path

from firmware.base.errors import UsageError
from hil.bench import contact_log
from hil.bench.contact_log import Run
from hil.bench.proposal import check_level, with_expectations
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.targets.choose import DESK, open_target
from hil.games import Game


def check(log: Path | None, expect: str) -> None:
    """Raises UsageError when the log cannot have this name, or not such expectations."""
    if expect:
        check_level(expect)
        if log is None:
            raise UsageError("--expect goes with --log: it puts expectations into the log")
    if log is not None:
        contact_log.check_name(log)


def write_log(run: Run, path: Path, game: Game, level: str = "") -> None:
    """Write a run of a game; `level`: of the expectations, one of `hil.bench.proposal.LEVELS`.

    Raises UsageError: too long for a script, or not writable.
    """
    contact_log.write(run, path, _expecting(run, path, game, level) if level else "")


def _expecting(run: Run, path: Path, game: Game, level: str) -> str:
    text = contact_log.as_script(run)
    vocabulary = of_game(game)
    target = open_target(DESK, game)
    try:
        parsed = script.parse(text, path, vocabulary)
        return with_expectations(text, parsed, level, vocabulary, game.wiring, target)
    finally:
        target.close()
