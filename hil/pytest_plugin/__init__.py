"""A pytest plugin: the fixture `bench`, and a game's switch scripts as tests.

It takes part in a project only where that asks for the fixture or holds a game's folder, and imports the
bench only then.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from hil.pytest_plugin.hands import Hands

SUFFIX = ".play"
DESK = "desk"
SHARED = (DESK, "micropython")  # targets of which every worker can have its own


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--inlane-on` and `--inlane-game`."""
    group = parser.getgroup("inlane", "pinball games on the bench")
    group.addoption(
        "--inlane-on",
        default=DESK,
        metavar="TARGET",
        help="where scripts and the fixture bench play: desk, micropython, a serial port or a pyserial URL",
    )
    group.addoption(
        "--inlane-game",
        default="",
        metavar="GAME",
        help="the game, by name or folder; usually the folder above the test that holds game.py",
    )


def pytest_configure(config: pytest.Config) -> None:
    """Refuse several workers on one machine."""
    target = config.getoption("--inlane-on")
    if target not in SHARED and getattr(config.option, "numprocesses", None):
        raise pytest.UsageError(f"'{target}' is one machine: pytest -n is for desk and micropython")


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.Collector | None:
    """Collect the scripts of a game's folder."""
    if file_path.suffix != SUFFIX or not _is_of_a_game(file_path, parent.config):
        return None
    from hil.pytest_plugin.scripts import ScriptFile  # only in a project that has scripts

    return ScriptFile.from_parent(parent, path=file_path)


def _is_of_a_game(path: Path, config: pytest.Config) -> bool:
    if config.getoption("--inlane-game"):
        return True
    return any((folder / "game.py").is_file() and (folder / "wiring.py").is_file() for folder in path.parents)


@pytest.fixture
def bench(request: pytest.FixtureRequest) -> Iterator[Hands]:
    """A machine that was just switched on, with the words of the script language as methods.

    The game is the one whose folder holds the test, or the one of --inlane-game. At the end of the test the
    standing checks of every script are made: coils within their limits, no ball lost, score and ledger equal.
    """
    from hil.pytest_plugin.running import running_of  # only in a project that uses the fixture

    hands = running_of(request.config).hands(request.path)
    yield hands
    hands.end()
