"""ChartViewer at the desk: chosen by key or click, what is active is lit, everything lies within its area."""

import itertools
import sys

import pygame
import pytest

from firmware.charts.model import Parallel, Region, State
from hil import command, games
from hil.command.at_desk import DeskSetup
from hil.reports.diagram import of_region
from simulator.desk.charts import ChartDrawing, ChartViewer, boxes
from simulator.desk.palette import DARK
from simulator.desk.pen import Pen, sizes

LARGEST = sizes(1).small
AREA = pygame.Rect(10, 10, 541, 640)
FRAME = 16


@pytest.fixture(scope="module")
def table():
    return DeskSetup(games.load("honey_flow"))


@pytest.fixture
def desk(table):
    desk = table.desk(table.live(1, {}))
    wait(desk, 1)
    return desk


def wait(desk, seconds):
    for _ in range(seconds * 1000 // FRAME):
        desk.step(FRAME, ())


def press(desk, name):
    for kind in (pygame.KEYDOWN, pygame.KEYUP):
        desk.step(FRAME, [pygame.event.Event(kind, key=pygame.key.key_code(name))])


def click(desk, at):
    desk.step(FRAME, [pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)])
    desk.step(FRAME, [pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1)])


def line(desk, region):
    desk.screenshot()
    return desk.picture.hits.rect("chart", region).center


def diagrams(game):
    features = games.load(game).console().play.features
    return [of_region(Region(f.name, f, f.chart, f.states)) for f in features]


def drawn(diagram, active, last=-1):
    """The chart on a surface of its own, and the sheet."""
    surface = pygame.Surface((AREA.right + 10, AREA.bottom + 10))
    sheet = ChartDrawing(Pen(surface), AREA, diagram, active, last)
    sheet.draw()
    return surface, sheet


def lit(surface, rect):
    return surface.get_at((rect.x + 3, rect.centery))[:3] == DARK.strong


def test_a_key_shows_the_chart_and_hides_it_again(desk):
    before = pygame.image.tobytes(desk.screenshot(), "RGB")
    press(desk, "k")
    assert desk.panel == "charts"
    assert pygame.image.tobytes(desk.screenshot(), "RGB") != before
    press(desk, "k")
    assert desk.panel == "game"


def test_keys_go_from_chart_to_chart_and_round(desk):
    names = desk.charts.names()
    press(desk, "[")
    assert desk.charts.chosen.name == names[-1]
    press(desk, "]")
    press(desk, "]")
    assert desk.charts.chosen.name == names[1]


def test_a_click_on_a_state_shows_its_chart_also_beside_another(desk):
    press(desk, "k")
    click(desk, line(desk, "pollen_run"))
    assert (desk.panel, desk.charts.chosen.name) == ("charts", "pollen_run")
    click(desk, line(desk, "gate"))
    assert desk.charts.chosen.name == "gate"


def test_no_contact_is_clicked_through_a_chart(desk):
    press(desk, "f3")
    while desk.panel != "switches":
        press(desk, "f3")
    desk.screenshot()
    at = desk.picture.hits.rect("switch", "slam").center
    press(desk, "k")
    desk.screenshot()
    click(desk, at)
    assert not desk.hands.is_held("slam")
    assert not desk.machine.view.switches["slam"]


def test_what_is_active_is_told_with_the_states_that_hold_it(desk):
    machine = desk.machine
    assert machine.active("game") == ["attract"]
    press(desk, "return")
    wait(desk, 3)
    assert machine.active("game") == ["playing", "waiting"]
    assert machine.active("credits") == ["open"]


def test_the_lit_box_follows_the_machine(desk):
    press(desk, "k")
    while desk.charts.chosen.name != "game":
        press(desk, "]")
    at = [pygame.image.tobytes(desk.screenshot(), "RGB")]
    press(desk, "return")
    wait(desk, 3)
    at.append(pygame.image.tobytes(desk.screenshot(), "RGB"))
    assert at[0] != at[1]
    assert desk.charts.last() == 9  # ball.ready


def test_the_boxes_of_active_states_alone_are_lit():
    game = next(one for one in diagrams("honey_flow") if one.name == "game")
    surface, sheet = drawn(game, ["playing", "ball"])
    assert {lane for lane, rect in sheet._boxes.items() if lit(surface, rect)} == {"playing", "ball"}


def test_every_region_of_a_parallel_state_is_lit_in_its_own_state():
    sides = tuple(State(side, states=(State(side + "1"), State(side + "2"))) for side in "ab")
    diagram = of_region(Region("both", None, (("a1", "go", "a2"),), (Parallel("both", states=sides),)))
    active = ["both", "a", "a2", "b", "b1"]
    surface, sheet = drawn(diagram, active)
    assert [lane for lane in diagram.lanes if lit(surface, sheet._boxes[lane])] == active


def test_the_row_taken_last_stands_out():
    ladder = next(one for one in diagrams("honey_flow") if one.name == "wax_ladder")
    plain, sheet = drawn(ladder, ["timed"])
    marked, _ = drawn(ladder, ["timed"], last=0)
    y = sheet._first + sheet._step
    x = (sheet._boxes["dark"].centerx + sheet._boxes["lit"].centerx) // 2
    assert plain.get_at((x, y))[:3] != DARK.strong
    assert marked.get_at((x, y))[:3] == DARK.strong


@pytest.mark.parametrize("game", games.built_in())
def test_names_lie_side_by_side_and_rows_within_the_area(game):
    for diagram in diagrams(game):
        found, _ = boxes(diagram.lanes, AREA, 40, LARGEST)
        assert all(AREA.contains(rect) for rect in found.values()), diagram.name
        assert not any(a.colliderect(b) for a, b in itertools.combinations(found.values(), 2)), diagram.name
        _, sheet = drawn(diagram, ())
        assert sheet._end <= AREA.bottom + 6, diagram.name
        assert sheet._step >= 14, diagram.name


def test_a_chart_of_forty_states_keeps_to_its_area():
    found, _ = boxes([f"a_long_name_{n}" for n in range(40)], AREA, 40, LARGEST)
    assert all(AREA.contains(rect) for rect in found.values())


def test_a_machine_without_charts_says_so(player):
    player.frames(1, player.key("k"))
    assert player.desk.message == "! this machine has no charts"
    assert ChartViewer(()).names() == []


def test_the_command_draws_a_chart_and_refuses_an_unknown_one(tmp_path, capsys):
    script = games.load("honey_flow").scripts / "pollen_run_made.play"
    for chart, code in (("pollen_run", 0), ("polen_run", 2)):
        picture = tmp_path / f"{chart}.png"
        words = ["play", "--script", script, "--picture", picture, "--chart", chart, "--at", "9s"]
        sys.argv = ["inlane", *[str(word) for word in words]]
        with pytest.raises(SystemExit) as stop:
            command.main()
        assert stop.value.code == code
        assert picture.is_file() == (code == 0)
    assert "did you mean 'pollen_run'?" in capsys.readouterr().err
