"""The desk in front of a board: what it shows is what the board says, as at the desk alone."""

from typing import Any

import pytest

from firmware.base.errors import LinkError, ScriptError, UsageError
from firmware.devices.native import limiter as c
from hil import games
from hil.bench.targets.linked import LinkTarget
from hil.benchmarks.reliability.loop import LoopMachine, LoopPort, with_cached_files
from hil.command import play
from hil.command.at_desk import DeskSetup, PlayedMachine
from hil.command.board_machine import BoardMachine, board_machine

GAME = with_cached_files(games.load("honey_flow"))
SETUP = DeskSetup(GAME)


def board() -> BoardMachine:
    return BoardMachine(SETUP, LinkTarget.over(LoopPort(LoopMachine(GAME)), GAME), 1, {})


def both() -> tuple[BoardMachine, PlayedMachine]:
    return board(), SETUP.live(1, {})


def tap(machine: Any, name: str) -> None:
    machine.switch(name, True)
    machine.run_to(machine.now + machine.tap_ms(name))
    machine.switch(name, False)
    machine.run_to(machine.now + 100)


def begin(machine: Any) -> None:
    """A coin, start, a ball out, some contacts."""
    machine.run_to(1000)
    tap(machine, "coin.1")
    tap(machine, "start")
    machine.run_to(machine.now + 3000)
    machine.shoot("plunge")
    machine.run_to(machine.now + 2500)
    for name in ("meadow.1", "meadow.2", "bee.1"):
        tap(machine, name)


def test_a_game_by_hand_shows_the_same_on_the_board_as_at_the_desk() -> None:
    there, here = both()
    begin(there)
    begin(here)
    assert there.now == here.now
    assert here.view.playing
    assert here.view.score > 0
    for what in ("lamps", "switches", "states", "cells", "scores", "history", "player", "ball"):
        assert getattr(there.view, what) == getattr(here.view, what), what
    assert there.places() == here.places()
    assert there.windows() == here.windows() != []
    assert there.inside.values() == here.inside.values()
    assert there.balls_a_game == here.balls_a_game
    for chart in here.view.states:
        assert list(there.active(chart)) == list(here.active(chart)), chart


def test_heat_is_that_of_the_board_s_limiter() -> None:
    there, here = both()
    begin(there)
    begin(here)
    far, near = there.inside.heat(), here.inside.heat()
    assert [one.name for one in far] == [one.name for one in near]
    assert max(abs(one.heat - two.heat) for one, two in zip(far, near, strict=True)) < 0.003
    assert c.UNIT == 1024


def test_an_award_has_its_cause_and_a_lamp_says_that_it_is_not_known() -> None:
    there, here = both()
    begin(there)
    begin(here)
    history = there.view.history
    award = max(at for at, one in enumerate(history) if one.kind == "award")
    assert there.inside.cause(award) == here.inside.cause(award)
    lamp = max(at for at, one in enumerate(history) if one.kind == "lamp")
    assert "does not go over the line" in there.inside.cause(lamp).words


def test_an_instant_is_asked_for_once() -> None:
    machine = board()
    asked: list[int] = []
    ask = machine._target.windows
    machine._target.windows = lambda: asked.append(machine.now) or ask()  # type: ignore[method-assign,func-returns-value]
    machine.run_to(50)
    machine.windows()
    machine.windows()
    machine.run_to(60)
    machine.windows()
    assert asked == [50, 60]


def test_a_nudge_is_refused() -> None:
    with pytest.raises(ScriptError, match="needs a ball that rolls"):
        board().nudge("left")


def test_the_log_of_a_game_in_front_of_a_board_is_that_of_the_desk() -> None:
    there, here = both()
    begin(there)
    begin(here)
    assert there.log(1, {}, stopped=False) == here.log(1, {}, stopped=False)


def test_the_desk_draws_it(tmp_path: Any) -> None:
    pytest.importorskip("pygame")
    from simulator.desk import window

    window.use_headless()
    there, here = both()
    pictures = []
    for machine in (there, here):
        begin(machine)
        desk = SETUP.desk(machine)
        desk.show("switches")  # what a lit insert is for is known of a console in this process alone
        path = tmp_path / "desk.png"
        window.save_picture(desk, path, (0, 0))
        pictures.append(path.read_bytes())
    assert pictures[0] == pictures[1]


def test_a_target_in_this_process_is_no_board() -> None:
    with pytest.raises(UsageError, match="'desk' is no board"):
        board_machine(SETUP, "desk", 1, {})


def test_a_port_that_is_not_there_is_said() -> None:
    with pytest.raises(LinkError, match="/dev/no_board"):
        board_machine(SETUP, "/dev/no_board", 1, {})


@pytest.mark.micropython
def test_a_process_of_micropython_is_played_and_switched_off_at_the_end() -> None:
    machine = board_machine(SETUP, "micropython", 1, {})
    spawned = machine._target.spawned
    assert spawned
    here = SETUP.live(1, {})
    begin(machine)
    begin(here)
    assert machine.view.history == here.view.history
    machine.close()
    assert spawned.process.returncode is not None


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"--kept": "x"}, "the board keeps nothing"),
        ({"--watch": True}, "no --watch"),
        ({"--slope": 5.0}, "no --slope"),
    ],
)
def test_what_a_board_cannot_do_is_refused(given: dict[str, object], words: str) -> None:
    usual: dict[str, object] = {"--kept": None, "--shots": False, "--slope": None, "--watch": False}
    usual |= {"--on": "/dev/x", "--image": None}
    with pytest.raises(UsageError, match=words):
        play._refuse(usual | given, None, "", False, None)


def test_an_image_goes_with_a_board() -> None:
    usual: dict[str, object] = {
        "--kept": None,
        "--shots": False,
        "--slope": None,
        "--watch": False,
        "--on": "",
    }
    with pytest.raises(UsageError, match="--image goes with --on"):
        play._refuse(usual | {"--image": "x.uf2"}, None, "", False, None)
