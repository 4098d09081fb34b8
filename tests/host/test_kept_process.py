"""The unix MicroPython with --kept: killed and started again, it remembers; damaged, it says so."""

import pytest

from boards.unix.file_store import BEFORE, FileStore
from hil import games
from hil.bench.targets.link import open_port
from hil.bench.targets.linked import LinkTarget
from hil.micropython import Spawned

pytestmark = pytest.mark.micropython

GAME = games.load("honey_flow")
COIN = [row[0] for row in GAME.wiring.SWITCHES].index("coin.1")


def played(path, coins, settings):
    """A process that takes so many coins and is then killed; what it wrote to stderr."""
    spawned = Spawned(GAME, extra=("--kept", str(path)))
    port = open_port(spawned.port)
    spawned.release_line()
    try:
        target = LinkTarget.over(port, GAME)
        target.start(1, settings)
        run_to(target, 1000)
        for coin in range(coins):
            target.contact(COIN, True)
            run_to(target, 1100 + 1000 * coin)
            target.contact(COIN, False)
            run_to(target, 2000 + 1000 * coin)
        spawned.process.kill()
        spawned.process.wait()
        spawned._words.seek(0)
        return spawned._words.read().decode()
    finally:
        port.close()
        spawned.close()


def run_to(target, ms):
    """An advance ends early where a coil is commanded."""
    while target.advance(ms) < ms:
        pass


def kept(path):
    return FileStore(str(path), GAME.name).load()


def test_a_killed_process_started_again_has_its_settings_and_counts(tmp_path):
    path = tmp_path / "kept"
    assert played(path, 2, {"balls": 5}) == ""
    first = kept(path)
    assert (first["setting.balls"], first["closures.coin.1"], first["starts"]) == (5, 2, 1)
    assert played(path, 1, {}) == ""
    second = kept(path)
    assert (second["setting.balls"], second["closures.coin.1"], second["starts"]) == (5, 3, 2)


def test_a_damaged_file_gives_the_save_before_and_a_word_on_stderr(tmp_path):
    path = tmp_path / "kept"
    played(path, 2, {"balls": 5})
    damaged = bytearray(path.read_bytes())
    damaged[len(damaged) // 2] ^= 1
    path.write_bytes(damaged)
    before = FileStore(str(path) + BEFORE, GAME.name).load()["closures.coin.1"]
    said = played(path, 0, {})
    assert said.startswith(f"kept values: {path}: its sum does not fit its lines")
    again = kept(path)
    assert (again["setting.balls"], again["closures.coin.1"], again["starts"]) == (5, before, 2)
    assert again["fault.0.times"] == 1
