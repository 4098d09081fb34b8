"""A game of one's own: made, fit to play, and really its own."""

from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.command.new import new


@pytest.mark.parametrize("like", ["kit_room", "honey_flow"])
def test_the_copy_is_a_game_of_its_own(tmp_path: Path, like: str) -> None:
    folder = tmp_path / f"my_{like}"
    new(folder, like)
    game = games.load(str(folder))
    told = game.module.NAME
    assert told == folder.name
    assert Path(game.wiring.__file__).parent == folder
    assert "firmware.games" not in "".join(f.read_text() for f in folder.rglob("*.py"))
    console = game.console()
    assert console.switch_names == games.load(like).console().switch_names


def test_what_cannot_be_made_is_refused_and_nothing_changed(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="Python name"):
        new(tmp_path / "my-game", "kit_room")
    (tmp_path / "taken").mkdir()
    with pytest.raises(UsageError, match="already"):
        new(tmp_path / "taken", "kit_room")
    assert list(tmp_path.iterdir()) == [tmp_path / "taken"]
    with pytest.raises(UsageError, match="did you mean 'kit_room'"):
        new(tmp_path / "other", "kit_rom")
