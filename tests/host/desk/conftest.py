"""A machine without rules for the desk, and the means to press its keys without a screen."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"

from types import SimpleNamespace

import pygame
import pytest

from firmware.base.errors import ScriptError
from firmware.games.honey_flow import wiring
from hil import games
from hil.command import drawn
from hil.game_tables import coil_rows, switch_rows
from simulator.desk.desk import Desk
from simulator.desk.inside import Cause, CoilHeat, Held, Input, RuleWords
from simulator.desk.keymap import KeyMap
from simulator.plant import Plant

GAME = games.load("honey_flow")
routes, keys = GAME.tables("routes"), GAME.tables("keys")
SWITCHES = [row[0] for row in wiring.SWITCHES]
LAMPS = [(row[0], row[1]) for row in wiring.LAMPS]
COILS = [row[0] for row in wiring.COILS]
TAP_MS = 50
DRAWING = drawn.drawing(games.load("honey_flow"))


def fake_view():
    return SimpleNamespace(
        lamps={name: 0 for name, _ in LAMPS},
        switches=dict.fromkeys(SWITCHES, False),
        states={"game": "attract", "tilt": "idle"},
        states_since={"game": 0, "tilt": 0},
        cells=[[32] * 16, [32] * 16],
        scores={},
        players=0,
        player=0,
        ball=0,
        playing=False,
        coils={name: SimpleNamespace(value=0, since=0) for name in COILS},
        history=[],
        moves=[],
    )


class FakeInside:
    """A machine's inside in which nothing is warm and nothing has a cause."""

    own = ("game",)
    inputs = tuple(Input(row.name, row.row, row.column) for row in switch_rows(wiring))
    leds = ()

    def __init__(self):
        self.held = [Held("ladder.rung", 3, "player"), Held("credits.count", 2, "persistent")]
        self.warm = [CoilHeat(row.name, row.kind, 0.0) for row in coil_rows(wiring)]

    def values(self):
        return self.held

    def heat(self):
        return self.warm

    def light(self):
        return 100

    def cause(self, at):
        return Cause(-1, f"event {at} has no cause")

    def rule_of(self, lamp):
        return RuleWords("Ladder", "Three rungs.") if lamp.startswith("rung") else None


class FakeMachine:
    """Contacts go to the view at once; balls are a real plant's, at rest."""

    title = "fake"
    rolls = False
    balls_a_game = 3

    def __init__(self):
        self.view = fake_view()
        self.plant = Plant(routes, SWITCHES, COILS)
        self.plant.start(0)
        self.balls = self.plant.balls
        self.now = 0
        self.log = []
        self.shots = []
        self.due = None
        self.open_windows = []
        self.inside = FakeInside()

    def run_to(self, until_ms):
        assert until_ms >= self.now
        self.now = until_ms

    def next_due(self):
        return self.due

    def switch(self, name, closed):
        self.log.append((self.now, name, closed))
        self.view.switches[name] = closed

    def tap_ms(self, name):
        return TAP_MS

    def shoot(self, shot):
        if shot == "drain":
            raise ScriptError("shot 'drain' needs a ball that waits on the playfield (trough 3)")
        self.shots.append((self.now, shot))

    def end_shot(self, shot):
        pass

    def nudge(self, direction):
        raise ScriptError("a nudge needs a ball that rolls")

    def windows(self):
        return self.open_windows

    def places(self):
        return self.plant.places()


def fake_desk(machine):
    return Desk(
        machine,
        DRAWING,
        KeyMap(keys, SWITCHES, [row[0] for row in routes.SHOTS]),
    )


class Player:
    """A desk with its machine, and events to give to it; `now` on means frames of FRAME ms."""

    FRAME = 16

    def __init__(self):
        self.machine = FakeMachine()
        self.desk = fake_desk(self.machine)
        self.drawing = self.desk._drawing

    def frames(self, count, *events):
        """So many frames, the events in the first one; whether the desk stays open."""
        stays = True
        for _ in range(count):
            stays = self.desk.step(self.FRAME, events)
            events = ()
        return stays

    @staticmethod
    def key(name, down=True):
        return pygame.event.Event(pygame.KEYDOWN if down else pygame.KEYUP, key=pygame.key.key_code(name))

    @staticmethod
    def mouse(at, button=1, down=True):
        kind = pygame.MOUSEBUTTONDOWN if down else pygame.MOUSEBUTTONUP
        return pygame.event.Event(kind, pos=at, button=button)

    def pixel(self, x, y):
        """Where a point of the drawing is in the picture."""
        layout = self.desk.picture.layout
        return round(layout.field.x + x * layout.scale), round(layout.field.y + y * layout.scale)

    def insert(self, lamp):
        """The pixel in the middle of an insert."""
        found = next(i for i in self.drawing.inserts if i.lamp == lamp)
        return self.pixel(found.x, found.y)

    def bright(self, at):
        """How bright a pixel of the picture is once every lamp has warmed or cooled."""
        self.desk.picture.field.warmth.settle()
        return sum(self.desk.screenshot().get_at(at)[:3])

    def show(self, panel):
        """Draw this panel, and where its things are."""
        self.desk.show(panel)
        self.desk.screenshot()
        return self.desk.picture.hits

    def image(self):
        self.desk.picture.field.warmth.settle()
        return pygame.image.tobytes(self.desk.screenshot(), "RGB")

    def happens(self, ms, kind, name, value):
        self.machine.view.history.append(SimpleNamespace(ms=ms, kind=kind, name=name, value=value))


@pytest.fixture
def player():
    return Player()
