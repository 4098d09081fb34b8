"""A game that stands still, some contacts for it, and the trace that the desk makes of them."""

import shutil
from random import Random

import pytest

from hil import games
from hil.benchmarks.reliability.bad_line import plan
from hil.benchmarks.reliability.loop import LoopMachine, LoopPort, with_cached_files


@pytest.fixture(scope="module")
def game():
    return with_cached_files(games.load("honey_flow"))


@pytest.fixture(scope="module")
def contacts(game):
    return plan(Random(7), len(game.wiring.SWITCHES))


@pytest.fixture(scope="module")
def desk_digest(game, contacts):
    console = game.console()
    for ms, switch, closed in [*contacts, (4000, 0, False)]:
        console.run_to(ms)
        console.contact(switch, closed)
    return console.trace.digest()


@pytest.fixture
def port(game):
    return LoopPort(LoopMachine(game))


@pytest.fixture
def changed_game(game, tmp_path):
    """A copy of the game in a folder of its own, with `words` added to its game.py."""

    def make(words):
        folder = tmp_path / "honey_flow"
        shutil.copytree(game.folder, folder, ignore=shutil.ignore_patterns("__pycache__", "host", "scripts"))
        source = folder / "game.py"
        source.write_text(source.read_text() + words)
        return games.Game("honey_flow", folder, "honey_flow", game.module)

    return make
