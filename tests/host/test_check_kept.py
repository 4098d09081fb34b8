"""`inlane check` on what a game keeps: room in a board's store, and a key for each name."""

from typer.testing import CliRunner

from firmware.devices.store import key
from firmware.devices.store.medium import Medium
from hil.command import app


def checked():
    result = CliRunner().invoke(app, ["check", "kit_room", "--games", "0"], standalone_mode=False)
    return result.return_value, result.output


def test_the_kit_room_fits():
    assert checked()[0] == 0


def test_more_names_than_a_save_has_room_for_are_refused(monkeypatch):
    monkeypatch.setattr(Medium, "sector_size", 1024)
    code, said = checked()
    assert code == 2
    assert "kept values and faults need" in said
    assert "a board's store has 1,024 for a save" in said


def test_two_names_with_one_key_are_refused(monkeypatch):
    monkeypatch.setattr(key, "KEYS", 0xFF)
    code, said = checked()
    assert code == 2
    assert "have the same key; rename one of them" in said
