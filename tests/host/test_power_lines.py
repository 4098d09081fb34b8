"""Power lines of scripts: what is off while the power is, what is there again, and who cannot switch it."""

from pathlib import Path
from types import SimpleNamespace

import pytest

from boards.unix.file_store import FileStore
from firmware.base.errors import LinkError
from hil import games
from hil.bench.kept_file import KeptFile
from hil.bench.outcome import FAIL, INVALID, PASS
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.session import Session
from hil.bench.targets.desk import DeskTarget
from hil.bench.targets.linked import LinkTarget
from simulator.plant import Plant

GAME = games.load("honey_flow")
WORDS = of_game(GAME)
POWER = sorted(GAME.scripts.glob("power_lost_*.play"))
COINS = "set free_play to 0\nwait 1 s\ntap coin.1\nwait 1 s\n"


def run(text, target=None):
    played = script.parse(text, Path("a.play"), WORDS)
    names = WORDS.names
    plant = Plant(GAME.tables("routes"), tuple(names.switches), tuple(names.coils), seed=played.seed)
    return Session(played, target or DeskTarget(GAME), WORDS, GAME.wiring, plant).run()


def problem(text):
    outcome = run(text)
    assert outcome.code == FAIL
    return outcome.problems[0]


def test_nothing_is_lit_held_or_played_while_the_power_is_off():
    before = ("start 1 player", "expect coil coin_lockout is held", "expect game is running")
    off = ("expect lamp start is off", "expect coil coin_lockout is not held", "expect game is over")
    lines = (*before, "power off", *off, 'expect line 1 is ""', "expect players is 0")
    outcome = run(COINS + "\n".join(lines))
    assert (outcome.problems, outcome.code) == ([], PASS)


def test_time_passes_and_balls_roll_while_the_power_is_off():
    text = "start 1 player\nlaunch\nshoot hive\npower off\nwait 2 s\nexpect balls in hive is 1"
    outcome = run(text)
    assert (outcome.problems, outcome.code) == ([], PASS)


def test_what_was_saved_is_there_again_and_a_set_line_is_no_second_time():
    outcome = run(COINS + 'power off\npower on\nexpect line 2 contains "CREDITS  1" within 1 s')
    assert (outcome.problems, outcome.code) == ([], PASS)


def test_a_machine_that_keeps_nothing_is_found_out(monkeypatch):
    monkeypatch.setattr(FileStore, "load", lambda self: {})
    found = problem(COINS + 'power off\npower on\nexpect line 2 contains "CREDITS  1" within 1 s')
    assert found.line == 7


def test_a_store_that_keeps_half_of_a_save_is_found_out(monkeypatch):
    """A store that writes over its only file: what a loss of power leaves of it is no save."""
    monkeypatch.setattr(KeptFile, "tear", lambda self: self.path.write_text("inlane kept 1\n"))
    lines = "press coin.1\npower off while saving\nrelease coin.1\npower on\n"
    monkeypatch.setattr("hil.bench.targets.desk.FileStore", Overwriting)
    found = problem(COINS + lines + 'expect line 2 contains "CREDITS  1" within 1 s')
    assert found.line == 9


class Overwriting(FileStore):
    """Keeps no save before the last."""

    def save(self, pairs):
        super().save(pairs)
        Path(self._path + ".before").unlink(missing_ok=True)


def test_no_save_within_15_s_fails():
    found = problem("wait 5 s\npower off while saving")
    assert (found.expected, found.seen) == ("a save within 15.000 s", "none")


def test_a_torn_save_leaves_the_one_before(tmp_path):
    kept = KeptFile()
    try:
        store = FileStore(str(kept.path), "a_game")
        store.save([("count", 1)])
        kept.remember()
        assert not kept.was_saved()
        store.save([("count", 2)])
        assert kept.was_saved()
        kept.tear()
        assert store.load() == {"count": 1}
        assert store.lost == []
        store.save([("count", 3)])
        assert store.load() == {"count": 3}
    finally:
        kept.close()
    assert not kept.path.parent.exists()


def test_the_hash_is_of_all_records_and_the_next_run_keeps_nothing():
    target = DeskTarget(GAME)
    plain = 'wait 1 s\nexpect line 2 contains "PRESS START"'
    first = run(plain, target).digest
    power = run(COINS + "power off\npower on\nwait 1 s", target)
    assert power.digest != run(COINS + "wait 1 s", target).digest
    assert power.digest == run(COINS + "power off\npower on\nwait 1 s", target).digest
    assert run(plain, target).digest == first


def test_a_target_without_a_switch_makes_the_run_invalid_with_a_sentence():
    desk = DeskTarget(GAME)
    methods = ("start", "contact", "advance", "records", "finish", "close")
    target = SimpleNamespace(name="elsewhere", **{name: getattr(desk, name) for name in methods})
    outcome = run("wait 1 s\npower off", target)
    assert (outcome.code, outcome.reason) == (INVALID, "the bench cannot switch the power of 'elsewhere'")


@pytest.mark.parametrize(("real_time", "words"), [(False, "'port'"), (True, "'port' in real time")])
def test_a_line_to_a_board_refuses(real_time, words):
    target = LinkTarget.__new__(LinkTarget)
    target.name, target.spawned, target.real_time = "port", None, real_time
    with pytest.raises(LinkError, match=f"cannot switch the power of {words}$"):
        target.keep(Path("kept"))


def test_the_demo_loses_power_in_four_ways():
    assert [path.stem for path in POWER] == [
        "power_lost_in_a_ball",
        "power_lost_in_attract",
        "power_lost_while_saving",
        "power_lost_with_balls_held",
    ]


@pytest.mark.slow
@pytest.mark.micropython
def test_power_is_lost_in_the_same_way_on_micropython():
    target = LinkTarget("micropython", GAME)
    try:
        for path in POWER:
            text = path.read_text()
            there, here = run(text, target), run(text)
            assert there.problems == []
            assert there.digest == here.digest
    finally:
        target.close()
