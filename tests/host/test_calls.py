"""How deep rules call: counted by hand here, and on the demo."""

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from hil import games
from hil.benchmarks import calls
from hil.command import app, measure


def run(*words):
    return CliRunner().invoke(app, ["measure", "calls", *words], standalone_mode=False)


def made(folder, depth):
    """A stand-in for a console's step in a file of the game's own: `depth` functions in each other."""
    lines = ["def deep_0():\n    return len('x')\n"]
    lines += [f"def deep_{i}():\n    return deep_{i - 1}()\n" for i in range(1, depth)]
    space = {}
    exec(compile("".join(lines), str(Path(folder) / "rules.py"), "exec"), space)
    return space[f"deep_{depth - 1}"]


@pytest.mark.parametrize("depth", [1, 5])
def test_calls_are_counted_from_the_consoles_own_on(monkeypatch, depth):
    game = games.load("kit_room")
    go = made(game.folder, depth)
    monkeypatch.setattr(calls, "START", go.__code__)
    with calls.CallDepth(game) as watched:
        go()
        sorted([3, 1, 2], key=lambda n: n)
        go()
    assert watched.deepest == tuple(f"rules.deep_{i}" for i in reversed(range(depth)))


def test_an_error_on_the_way_out_does_not_put_the_count_wrong(monkeypatch):
    game = games.load("kit_room")
    space = {}
    source = "def fails():\n    {}['x']\n"
    source += "def outer():\n    try:\n        fails()\n    except KeyError:\n        pass\n"
    exec(compile(source, str(game.folder / "rules.py"), "exec"), space)
    monkeypatch.setattr(calls, "START", space["outer"].__code__)
    with calls.CallDepth(game) as watched:
        for _ in range(5):
            space["outer"]()
    assert watched.deepest == ("rules.outer", "rules.fails")


@pytest.mark.slow
def test_scripts_stay_within_what_the_sources_allow():
    done = run("--game", "kit_room")
    assert done.return_value == 0
    scripts = len(list(games.load("kit_room").scripts.glob("*.play")))
    said = re.search(rf"(\d+) calls in each other at the deepest, in {scripts} scripts", done.output)
    allowed = re.search(r"the sources allow (\d+)$", done.output, re.MULTILINE)
    assert 0 < int(said[1]) <= int(allowed[1])
    assert re.search(r"from power-on on the Pico board, [\d,]+ B of stack:", done.output)
    assert "  main.main (call) boards/pico_matrix/start.py:" in done.output


@pytest.mark.slow
def test_a_count_that_scripts_go_beyond_is_told(monkeypatch):
    monkeypatch.setattr(measure.bound, "most_calls", lambda board, game, entry: 3)
    done = run("--game", "kit_room", str(games.load("kit_room").scripts / "rush_late.play"))
    assert done.return_value == 1
    assert "THAT COUNT IS WRONG" in done.output
