"""The kept file and `inlane keep`: always wholly old or wholly new, and refused in one sentence."""

import os

import pytest

from boards.unix import file_store
from boards.unix.file_store import FileStore, compose, parse
from firmware.base.errors import UsageError
from hil import games
from hil.command import keep

GAME = "honey_flow"


@pytest.fixture
def path(tmp_path):
    return tmp_path / "honey.kept"


@pytest.fixture(scope="module")
def game():
    return games.load(GAME)


def store(path):
    return FileStore(str(path), GAME)


def test_what_was_saved_is_loaded(path):
    store(path).save([("b", -3), ("a", 1 << 29)])
    again = store(path)
    assert again.load() == {"a": 1 << 29, "b": -3}
    assert again.lost == []


def test_no_file_is_an_empty_store_and_no_loss(path):
    again = store(path)
    assert (again.load(), again.lost) == ({}, [])


def test_a_file_cut_off_anywhere_gives_the_save_before_and_says_so(path):
    store(path).save([("pot", 1), ("starts", 1)])
    store(path).save([("pot", 2), ("starts", 2)])
    whole = path.read_bytes()
    for end in range(len(whole) - 1):
        path.write_bytes(whole[:end])
        again = store(path)
        assert again.load() == {"pot": 1, "starts": 1}
        assert len(again.lost) == 1


def test_every_flipped_bit_gives_the_save_before_and_says_so(path):
    store(path).save([("pot", 1)])
    store(path).save([("pot", 2)])
    whole = path.read_bytes()
    for bit in range(8 * len(whole)):
        damaged = bytearray(whole)
        damaged[bit // 8] ^= 1 << bit % 8
        path.write_bytes(bytes(damaged))
        again = store(path)
        assert again.load() == {"pot": 1}, bit
        assert again.lost


def test_a_cut_at_any_step_of_a_save_leaves_the_old_values_or_the_new(path, monkeypatch):
    """The disk stops taking orders after so many; what stands then is loaded."""
    real = {"open": open, "rename": os.rename}
    for steps in range(4):
        for old in path.parent.glob("*"):
            old.unlink()
        store(path).save([("pot", 1)])
        store(path).save([("pot", 2)])
        left = [steps]

        def step(name, *given, left=left):
            if name == "rename" or "w" in given[1:2]:
                if not left[0]:
                    raise OSError("power is off")
                left[0] -= 1
            return real[name](*given)

        monkeypatch.setattr(file_store, "open", lambda *given: step("open", *given), raising=False)
        monkeypatch.setattr(os, "rename", lambda *given: step("rename", *given))
        if steps < 3:
            with pytest.raises(OSError, match="power is off"):
                store(path).save([("pot", 3)])
        else:
            store(path).save([("pot", 3)])
        monkeypatch.undo()
        assert store(path).load() == {"pot": 3 if steps == 3 else 2}
        store(path).save([("pot", 4)])
        assert store(path).load() == {"pot": 4}


def test_another_games_file_is_not_taken(path):
    FileStore(str(path), "kit_room").save([("setting.balls", 5)])
    again = store(path)
    assert again.load() == {}
    assert "kit_room" in again.lost[0]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "line 1"),
        ("inlane kept 2\n", "line 1"),
        ("inlane kept 1\nno game\n", "line 2"),
        ("inlane kept 1\ngame honey_flow\nsetting.balls three\n", "line 3"),
        ("inlane kept 1\ngame honey_flow\nsetting.balls 3\n", "cut off"),
        ("inlane kept 1\ngame honey_flow\nsetting.balls 3\nsum 00\n", "sum"),
    ],
)
def test_a_text_that_is_no_save_says_where(text, says):
    assert says in parse(text)[0]


def test_a_machine_remembers_its_settings(path, game):
    console = game.console(store=store(path))
    console.settings.set_by_name("balls", 5)
    console.settings_changed()
    console.run_to(1000)
    console.contact(0, 1)
    console.run_to(2000)
    assert game.console(store=store(path)).settings.get("balls").value == 5


def test_backup_and_restore_go_round(path, game, tmp_path, capsys):
    game.console(store=store(path)).run_to(1000)
    before = store(path).load()
    values = keep.read(path, game)
    assert values == before
    assert keep.check(path, values, game.console()) == []


def test_a_restore_refuses_what_a_machine_would_refuse(path, game):
    console = game.console()
    rows = [("setting." + setting.name, setting.value) for setting in console.settings.all]
    path.write_text(compose(GAME, [*rows[1:], ("setting.balls", 9)]))
    with pytest.raises(UsageError, match="'balls' is 9; it takes 1 to 5"):
        keep.check(path, keep.read(path, game), console)
    path.write_text(compose(GAME, [*rows, ("version", 7)]))
    with pytest.raises(UsageError, match="version 7"):
        keep.check(path, keep.read(path, game), console)
    path.write_text(compose("kit_room", rows))
    with pytest.raises(UsageError, match="kit_room"):
        keep.read(path, game)
    path.write_text(compose(GAME, rows).replace("setting.balls 3", "setting.balls 4"))
    with pytest.raises(UsageError, match="changed"):
        keep.read(path, game)
    assert keep.read(path, game, trusting=True)["setting.balls"] == 4


def test_unknown_and_missing_names_are_notes(path, game):
    console = game.console()
    rows = [("setting." + setting.name, setting.value) for setting in console.settings.all]
    path.write_text(compose(GAME, [*rows[1:], ("setting.bals", 3)]))
    notes = keep.check(path, keep.read(path, game), console)
    assert any("'balls' is missing" in note for note in notes)
    assert any("did you mean 'setting.balls'" in note for note in notes)
