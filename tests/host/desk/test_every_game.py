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


def test_a_slip_in_a_drawing_is_told_with_what_it_leaves_without_a_place(tmp_path):
    import shutil

    from firmware.base.errors import GameError

    folder = tmp_path / "shed"
    shutil.copytree(games.load("kit_room").folder, folder)
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", "shed"))
    drawing = folder / "host" / "playfield.svg"
    lines = drawing.read_text().replace('id="vice"', 'id="vcie"').splitlines()
    drawing.write_text("\n".join(lines))
    at = next(number for number, line in enumerate(lines, 1) if "vcie" in line)
    table = DeskSetup(games.load(str(folder)))
    with pytest.raises(GameError, match=rf"svg:{at}: there is no switch 'vcie'; did you mean") as caught:
        table.desk(table.live(1, {}))
    assert len(str(caught.value).splitlines()) == 2
    assert "the ball's routes lead to 'vice'" in str(caught.value)
