"""A ball played at the desk by key events, from the plunge to a ramp made and a drain; its log replays."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"

import pygame
import pytest

from hil import games
from hil.bench import contact_log
from hil.bench.outcome import PASS
from hil.command import rolling
from hil.command.at_desk import DeskSetup
from hil.command.replay import Bench
from simulator.table.materials import PLUNGE

GAME = games.load("honey_flow")
FRAME = 4
LONGEST_MS = 150_000
KEYS = {"button.left": "left shift", "button.right": "right shift"}
SEED = 2  # of chance and of the player: makes a ramp within one ball or two


@pytest.fixture(scope="module")
def setup():
    return DeskSetup(GAME)


class KeyPlayer:
    """Plays a desk by key events alone, and sees the table as a player does."""

    def __init__(self, setup, seed):
        self.machine = rolling.switch_on(setup, seed, {})
        self.desk = setup.desk(self.machine)
        self.player = rolling.watcher(self.machine, self.button, self.plunger, seed)
        self.events = []

    def key(self, name, down):
        kind = pygame.KEYDOWN if down else pygame.KEYUP
        self.events.append(pygame.event.Event(kind, key=pygame.key.key_code(name)))

    def button(self, switch, down):
        self.key(KEYS[switch], down)

    def plunger(self, down):
        self.key("space", down)

    def frame(self):
        events, self.events = self.events, []
        self.desk.step(FRAME, events)
        self.player.look(self.machine.now)

    def start(self):
        while self.machine.now < 1000:
            self.frame()
        self.key("return", True)
        self.frame()
        self.key("return", False)

    def awards(self):
        return [h.name for h in self.machine.view.history if h.kind == "award"]


def drained(player):
    return player.machine.view.ball > 1 or not player.machine.view.playing


@pytest.mark.slow
@pytest.mark.micropython
def test_keys_play_from_the_plunge_to_a_ramp_and_a_drain_and_the_log_replays(setup, tmp_path):
    player = KeyPlayer(setup, SEED)
    player.start()
    while player.machine.now < 10_000 and not player.machine.view.playing:
        player.frame()
    while player.machine.now < LONGEST_MS and not ("small.ramp" in player.awards() and drained(player)):
        player.frame()
    assert "small.ramp" in player.awards()
    assert drained(player)
    assert player.machine.table.lost == 0
    log = player.machine.log(SEED, {}, stopped=False)
    path = tmp_path / "played.play"
    contact_log.write(log, path)
    for target in ("desk", "micropython"):
        with Bench(target) as bench:
            outcome = bench.run(bench.read(path, GAME), GAME)
        assert outcome.code == PASS, outcome.reason
        assert outcome.digest == log.digest


def test_the_same_keys_make_the_same_game(setup):
    def played():
        player = KeyPlayer(setup, 3)
        player.start()
        while player.machine.now < 15_000:
            player.frame()
        return player.machine.log(3, {}, stopped=False)

    one, other = played(), played()
    assert one.contact_changes == other.contact_changes
    assert one.digest == other.digest
    assert any(change.switch.startswith(("bee", "meadow")) for change in one.contact_changes)


def test_how_long_the_plunger_is_pulled_is_how_fast_the_ball_goes(setup):
    speeds = []
    for pulled in (300, 600, 900, 2000):
        machine = rolling.switch_on(setup, 1, {})
        machine.run_to(1000)
        machine.switch("start", True)
        machine.run_to(1100)
        machine.switch("start", False)
        machine.run_to(5000)
        assert machine.places()["lane"] == 1
        machine.shoot("plunge")
        machine.run_to(5000 + pulled)
        machine.end_shot("plunge")
        speeds.append(machine.table.rollers[0].speed)
        assert machine.places()["lane"] == 0
    assert speeds == pytest.approx([PLUNGE / 3, PLUNGE * 2 / 3, PLUNGE, PLUNGE], rel=0.01)


def test_a_ball_pulled_too_gently_comes_back_to_the_plunger(setup):
    machine = rolling.switch_on(setup, 1, {})
    machine.run_to(1000)
    machine.switch("start", True)
    machine.run_to(1100)
    machine.switch("start", False)
    machine.run_to(5000)
    machine.shoot("plunge")
    machine.run_to(5200)
    machine.end_shot("plunge")
    machine.run_to(5400)
    assert machine.places()["playfield"] == 1
    machine.run_to(8000)
    assert machine.places()["lane"] == 1


@pytest.mark.parametrize(("gap_ms", "tilts"), [(1500, False), (450, True)])
def test_nudges_one_after_the_other_swing_the_bob_to_its_ring(setup, gap_ms, tilts):
    machine = rolling.switch_on(setup, 1, {})
    for _ in range(4):
        machine.nudge("left")
        machine.run_to(machine.now + gap_ms)
    changes = [change for change in machine.clock.contact_changes if change.switch == "tilt"]
    assert any(change.closed for change in changes) == tilts
    machine.run_to(machine.now + 5000)
    assert not machine.view.switches["tilt"]
