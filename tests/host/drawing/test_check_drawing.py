"""`inlane check` tells what does not fit in a drawing, and the machine knows where balls go."""

import random
import shutil
import sys

import pytest

from hil import command, games
from hil.bench.scripts.vocabulary import of_game
from hil.command import drawn
from simulator.plant import Plant

NAME = "loft"


@pytest.fixture
def folder(tmp_path):
    """A copy of the kit room as a game of one's own."""
    made = tmp_path / NAME
    shutil.copytree(games.load("kit_room").folder, made, ignore=shutil.ignore_patterns("__pycache__"))
    for path in made.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", NAME))
    return made


def change(folder, old, new):
    """Change the one place where `old` is in the drawing; its line."""
    path = folder / "host" / "playfield.svg"
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, new))
    return text[: text.index(old)].count("\n") + 1


def check(folder, capsys):
    """The exit code of `inlane check`, and what it wrote."""
    sys.argv = ["inlane", "check", str(folder), "--games", "0"]
    with pytest.raises(SystemExit) as stop:
        command.main()
    return stop.value.code or 0, capsys.readouterr()


def test_a_slip_is_an_error_with_file_and_line(folder, capsys):
    line = change(folder, 'id="rush-lamp"', 'id="rusk-lamp"')
    code, shown = check(folder, capsys)
    assert code == 2
    assert f"{folder}/host/playfield.svg:{line}: there is no lamp 'rusk'; did you mean 'rush'?" in shown.err


def test_a_lamp_without_a_place_is_a_note(folder, capsys):
    change(folder, '<g id="light"', '<g id="light" display="none"')
    code, shown = check(folder, capsys)
    assert code == 0
    assert "note: lamp 'crew' has no place in the drawing" in shown.out


def test_a_drawing_that_is_no_xml_is_one_sentence(folder, capsys):
    line = change(folder, "</svg>", "")
    code, shown = check(folder, capsys)
    assert code == 2
    assert f"playfield.svg:{line + 1}: this is no XML: no element found" in shown.err
    assert "Traceback" not in shown.err


def test_a_game_without_a_drawing_is_fit(folder, capsys):
    (folder / "host" / "playfield.svg").unlink()
    code, shown = check(folder, capsys)
    assert (code, shown.err) == (0, "")
    assert "note" not in shown.out


@pytest.mark.parametrize("name", games.built_in())
def test_the_machine_knows_every_way_that_balls_go(name):
    game = games.load(name)
    machine, names = drawn.machine(game), of_game(game).names
    known = set(machine.points())
    chance = random.Random(5)
    plant = Plant(game.tables("routes"), names.switches, names.coils, 3, varied=True)
    plant.start(0)
    seen = set()
    for now in range(0, 400_000, 20):
        while (due := plant.due()) is not None and due <= now:
            plant.take(due)
        seen.update(point for ball in plant.balls for point in (ball.origin, ball.goal))
        for device in machine.devices:
            if device.coil and chance.random() < 0.02:
                plant.coil(device.coil, 40, now)
        if chance.random() < 0.05:
            shoot(plant, chance, now)
    assert seen <= known
    assert len(seen) > len(known) // 2


def shoot(plant, chance, now):
    """Try a shot; without a waiting ball there is none."""
    from firmware.base.errors import ScriptError

    try:
        plant.shoot(chance.choice(list(plant.book.shots)), now)
    except ScriptError:
        return
