"""Every game that comes with the firmware can be drawn and played at the desk."""

import pytest

from hil import games
from hil.command.at_desk import DeskSetup

pytest.importorskip("pygame")


@pytest.mark.parametrize("name", games.built_in())
def test_game_is_laid_out_for_the_desk(name):
    table = DeskSetup(games.load(name))
    machine = table.live(1, {})
    desk = table.desk(machine)
    machine.run_to(1_000)
    assert desk is not None
    assert sum(machine.places().values()) == machine._plant.book.balls


def test_slip_in_a_drawing_is_one_sentence(tmp_path):
    import shutil

    from firmware.base.errors import GameError

    folder = tmp_path / "shed"
    shutil.copytree(games.load("kit_room").folder, folder)
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", "shed"))
    (folder / "host" / "layout.py").write_text('"""A drawing."""\n\nSIZE = (400, 700\n')
    with pytest.raises(GameError, match=r"layout.py:3: ") as caught:
        games.load(str(folder)).host("layout")
    assert "\n" not in str(caught.value)
