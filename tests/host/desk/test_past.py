"""Going back in time: what was recorded happens again, unless something is done otherwise."""

import pygame
import pytest

from hil import games
from hil.bench.outcome import PASS
from hil.command import drawn
from hil.command.at_desk import DeskSetup
from hil.command.past import REACH_MS, RecordedMachine
from hil.command.replay import Bench

FRAME = 16
GAME = games.load("honey_flow")


@pytest.fixture(scope="module")
def setup():
    return DeskSetup(GAME)


def press(name, down=True):
    return pygame.event.Event(pygame.KEYDOWN if down else pygame.KEYUP, key=pygame.key.key_code(name))


class Player:
    """Someone at the desk of a Honey Flow that can go back in time."""

    def __init__(self, setup):
        self.machine = RecordedMachine(setup, lambda: setup.live(1, {}), 1, {})
        self.desk = setup.desk(self.machine, self.machine)
        self.seconds(1)

    def seconds(self, count, *events):
        for _ in range(round(count * 1000 / FRAME)):
            self.desk.step(FRAME, events)
            events = ()

    def press(self, name):
        self.seconds(0.1, press(name))
        self.seconds(0.1, press(name, down=False))

    def play(self):
        """A game of some thirty seconds with shots."""
        self.press("return")
        self.seconds(3)
        self.press("space")
        self.seconds(5)
        for key in ("q", "2", "w", "a"):
            self.press(key)
            self.seconds(5)

    def happened(self, since, until):
        return [event for event in self.machine.view.history if since <= event.ms <= until]


@pytest.fixture
def player(setup):
    player = Player(setup)
    player.play()
    return player


def test_the_next_five_seconds_happen_again_in_every_record(player):
    then = player.machine.now - 12_000
    before = player.happened(0, then + 5000)
    balls = len(player.machine.balls)
    player.desk.go_to(then)
    assert player.machine.now == then
    assert player.happened(0, then + 5000) == player.happened(0, then)
    player.desk.pace.paused = False
    player.seconds(5.1)
    assert player.happened(0, then + 5000) == before
    assert any(event.kind == "award" for event in before if event.ms > then)
    assert len(player.machine.balls) == balls


def test_what_was_played_on_to_its_end_goes_on_as_if_nothing_had_been(setup, player):
    player.desk.go_to(player.machine.now - 4000)
    player.desk.pace.paused = False
    player.seconds(6)
    other = Player(setup)
    other.play()
    other.desk.step(0, ())
    other.machine.run_to(player.machine.now)
    assert player.machine.log(1, {}, False).digest == other.machine.log(1, {}, False).digest


def test_something_done_otherwise_makes_another_future_of_the_same_past(player):
    then = player.machine.now - 12_000
    before = player.happened(0, player.machine.now)
    player.desk.go_to(then)
    player.desk.pace.paused = False
    player.seconds(0.1, press("right shift"))
    assert player.machine.latest == player.machine.now
    player.seconds(0.2, press("right shift", down=False))
    player.seconds(12)
    assert player.happened(0, then - 1) == [event for event in before if event.ms < then]
    assert player.happened(then, then + 11_000) != [e for e in before if then <= e.ms <= then + 11_000]


def test_a_contact_that_the_recorded_hand_holds_opens_when_something_else_is_done(player):
    player.seconds(1, press("left shift"))
    held = player.machine.now - 500
    player.seconds(1, press("left shift", down=False))
    player.desk.go_to(held)
    assert player.machine.view.switches["button.left"]
    player.desk.pace.paused = False
    player.seconds(0.2, press("right shift"))
    player.seconds(0.5, press("right shift", down=False))
    assert not player.machine.view.switches["button.left"]


def test_one_can_go_back_as_far_as_is_said_and_no_farther(player):
    player.machine.run_to(REACH_MS + 30_000)
    player.desk.go_to(0)
    assert player.machine.now == player.machine.earliest == 30_000
    player.desk.go_to(10**9)
    assert player.machine.now == player.machine.latest == REACH_MS + 30_000


def test_keys_step_back_to_the_event_before_and_on_to_the_next(player):
    times = sorted({event.ms for event in player.machine.view.history})
    player.seconds(0.1, press(","))
    player.seconds(0.1, press(","))
    assert player.machine.now == times[-2]
    player.seconds(0.1, press("."))
    assert times[-2] < player.machine.now <= times[-1]


def test_a_drag_along_the_bar_of_time_goes_there(player):
    player.desk.screenshot()
    bar = player.desk.timeline._bar
    at = (bar.x + bar.width // 8, bar.centery)
    wanted = player.desk.timeline.time_at(at[0])
    player.desk.step(FRAME, [pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)])
    assert player.machine.now == wanted
    to = (at[0] + 8, at[1])
    motion = pygame.event.Event(pygame.MOUSEMOTION, pos=to, rel=(8, 0), buttons=(1, 0, 0))
    player.desk.step(FRAME, [motion])
    assert player.machine.now == player.desk.timeline.time_at(to[0]) > wanted


def test_a_script_is_made_of_what_was_played_and_makes_the_same_trace(player, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    player.seconds(0.1, press(";"))
    assert "written" in player.desk.message, player.desk.message
    path = next(tmp_path.glob("*.play"))
    with Bench("desk") as bench:
        outcome = bench.run(bench.read(path, GAME), GAME)
    assert outcome.code == PASS
    assert path.read_text().startswith(f"# Its trace hash was {outcome.digest}")


def test_the_part_of_a_script_begins_at_its_mark(player, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    end = player.machine.now
    player.desk.go_to(end - 10_000)
    player.seconds(0.1, press("home"))
    player.desk.go_to(end - 2000)
    player.seconds(0.1, press(";"))
    path = next(tmp_path.glob("*.play"))
    with Bench("desk") as bench:
        outcome = bench.run(bench.read(path, GAME), GAME)
    assert (outcome.code, outcome.simulated_ms) == (PASS, end - 2000)
    lines = path.read_text().splitlines()
    waits = [int(line.split()[-2]) for line in lines[: lines.index("mark")] if line.endswith(" ms")]
    assert sum(waits) == end - 10_000
    player.desk.go_to(end - 11_000)
    player.seconds(0.1, press(";"))
    assert player.desk.message.startswith("! the script begins later")


def test_a_machine_that_keeps_something_says_that_it_cannot_go_back(setup):
    machine = setup.live(1, {})
    desk = setup.desk(machine)
    desk.step(FRAME, [press("page up")])
    assert desk.message == "! this machine cannot go back in time"


# Causes


def place(player, kind, name):
    return next(at for at, e in enumerate(player.machine.view.history) if (e.kind, e.name) == (kind, name))


@pytest.mark.parametrize(
    ("kind", "name", "feature", "source"),
    [
        ("award", "small.orbit", "small", "on"),
        ("lamp", "pollen", "pollen_run", "dark"),
        ("coil", "trough_eject", "trough", "resting"),
    ],
)
def test_an_award_a_lamp_and_a_coil_lead_to_the_chart_row_that_made_them(player, kind, name, feature, source):
    cause = player.machine.inside.cause(place(player, kind, name))
    assert cause.row >= 0, cause
    row = player.machine.view.names.rows[cause.row]
    assert (row.region, row.source) == (feature, source), cause.words


@pytest.mark.parametrize(
    ("lamp", "rule", "words"),
    [
        ("pollen", "pollen run", "off: pollen run. The left inlane lights the right orbit"),
        ("wheel.1", "wheel", "off: wheel. Eight stops"),  # a show has that lamp, too
        ("ball_in_play", "small", "on: small."),
        ("tilt", "", "off: of the cabinet"),
    ],
)
def test_an_insert_under_the_mouse_says_what_it_is_for(player, lamp, rule, words):
    desk = player.desk
    desk.screenshot()
    found = player.machine.inside.rule_of(lamp)
    assert (found.title if found else "") == rule
    inserts = drawn.drawing(games.load("honey_flow")).inserts
    insert = next(one for one in inserts if one.lamp == lamp)
    layout = desk.picture.layout
    at = round(layout.field.x + insert.x * layout.scale), round(layout.field.y + insert.y * layout.scale)
    desk.step(0, [pygame.event.Event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(0, 0, 0))])
    assert desk.mouse.pointed.startswith(f"lamp {lamp}, {words}")
    away = layout.panel.center
    desk.step(0, [pygame.event.Event(pygame.MOUSEMOTION, pos=away, rel=(0, 0), buttons=(0, 0, 0))])
    assert desk.mouse.pointed == ""


def test_a_click_on_an_award_shows_its_row_in_the_chart(player):
    player.desk.show("awards")
    player.desk.screenshot()
    award = player.desk.recent.ledger[-1]
    at = player.desk.picture.hits.rect("event", str(award.at)).center
    player.desk.step(0, [pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)])
    assert player.desk.panel == "charts"
    assert player.desk.charts.chosen.name == award.name.partition(".")[0]
    assert award.name in player.desk.message


def test_a_reflex_has_no_row(player):
    player.press("left shift")
    cause = player.machine.inside.cause(place(player, "coil", "flipper.left.strong"))
    assert (cause.row, "no rule asked" in cause.words) == (-1, True)


# Balls that roll


def test_balls_that_roll_go_back_too_and_roll_otherwise_from_there(setup):
    pytest.importorskip("pymunk")
    from hil.command import rolling

    machine = RecordedMachine(setup, lambda: rolling.switch_on(setup, 1, {}), 1, {})
    desk = setup.desk(machine, machine)

    def wait(frames, *events):
        for _ in range(frames):
            desk.step(FRAME, events)
            events = ()

    wait(60)
    wait(6, press("return"))
    wait(200, press("return", down=False))
    wait(50, press("space"))
    wait(120, press("space", down=False))
    then = machine.now - 1500
    ends = machine.now
    before = list(machine.view.history)
    desk.go_to(then)
    at = [ball.at for ball in machine.balls]
    desk.pace.paused = False
    wait(1500 // FRAME + 2)
    assert [e for e in machine.view.history if e.ms <= ends] == before
    desk.go_to(then)
    assert [ball.at for ball in machine.balls] == at
    desk.pace.paused = False
    wait(1, press("left shift"))
    assert machine.latest == machine.now
    wait(60)
    assert [e for e in machine.view.history if e.ms < then] == [e for e in before if e.ms < then]
