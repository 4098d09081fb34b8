"""The desk's picture: what is lit, closed, fired or moving is seen where it belongs."""

import pygame
import pytest

from firmware.games.honey_flow import wiring
from firmware.games.honey_flow.host import tones
from simulator.desk.layout import CAUTION
from simulator.desk.panels import NAMES
from simulator.desk.sounds import LOUD, RATE, wave


def test_a_lit_insert_is_brighter_than_a_dark_one_and_only_there(player):
    at, far = player.insert("again"), player.insert("jar")
    dark, far_before = player.bright(at), player.bright(far)
    player.machine.view.lamps["again"] = 1
    assert player.bright(at) > dark + 150
    assert player.bright(far) == far_before


def test_every_lamp_of_the_wiring_table_is_seen_somewhere(player):
    dark = player.image()
    for name, *_ in wiring.LAMPS:
        player.machine.view.lamps[name] = 1
        assert player.image() != dark, name
        player.machine.view.lamps[name] = 0


@pytest.mark.parametrize(("pattern", "half_ms"), [(2, 500), (3, 200), (4, 125)])
def test_blinking_inserts_are_on_in_the_first_half_of_each_period_and_no_faster(player, pattern, half_ms):
    at = player.insert("again")
    player.machine.view.lamps["again"] = 1
    on = player.bright(at)
    player.machine.view.lamps["again"] = pattern
    for now in (0, half_ms - 1, half_ms, 2 * half_ms - 1, 2 * half_ms):
        player.machine.now = now
        assert (player.bright(at) == on) == ((now // half_ms) % 2 == 0), now


@pytest.mark.parametrize("panel", ["coils", "game"])
def test_every_coil_is_seen_to_fire_on_the_playfield_or_in_its_panel(player, panel):
    player.show(panel)
    for name in [row[0] for row in wiring.COILS] if panel == "coils" else player.drawing.placed_coils():
        before = player.image()
        player.happens(0, "coil", name, -1)
        player.machine.view.coils[name].value = -1
        assert player.image() != before, name
        player.happens(0, "coil", name, 0)
        player.machine.view.coils[name].value = 0
        player.machine.now += 1000


def test_a_pulse_of_twenty_milliseconds_stays_visible_for_a_moment_and_ends(player):
    player.happens(0, "coil", "bumper.1", 20)
    player.frames(1)
    recent = player.desk.recent
    assert recent.fired_lately("bumper.1", 100)
    assert not recent.is_on("bumper.1", 100)
    assert not recent.fired_lately("bumper.1", 200)


def test_a_coil_held_on_stays_visible_until_it_is_let_go(player):
    player.happens(0, "coil", "wheel_motor", -1)
    player.frames(1)
    assert player.desk.recent.fired_lately("wheel_motor", 5000)
    player.happens(5000, "coil", "wheel_motor", 0)
    player.frames(1)
    assert not player.desk.recent.fired_lately("wheel_motor", 5001)


def test_a_closed_contact_is_shown_at_its_mark(player):
    at = player.pixel(*player.drawing.points["orbit.right"])
    before = player.bright(at)
    player.machine.view.switches["orbit.right"] = True
    assert player.bright(at) != before


def test_the_display_shows_the_cells_of_the_view(player):
    picture = player.desk.picture
    x, y = picture.displays.point(1, 4, 6)
    at = (picture.glass.x + x, picture.glass.y + y)
    blank = player.bright(at)
    player.machine.view.cells[1][4] = ord("8")
    assert player.bright(at) > blank + 200


def test_balls_are_drawn_where_they_rest(player):
    at = player.pixel(*player.drawing.points["trough.1"])
    with_ball = player.bright(at)
    player.machine.balls.clear()
    assert with_ball > player.bright(at) + 200


def test_balls_that_wait_at_one_place_are_all_seen(player):
    for ball in player.machine.balls:
        ball.goal = "flipper.left"
    three = player.image()
    player.machine.balls.pop()
    assert player.image() != three


def test_a_moving_ball_is_between_its_points_and_ends_at_its_goal(player):
    plant, balls = player.machine.plant, player.desk.picture.field._balls
    plant.take(0)
    plant.coil("trough_eject", 30, 0)
    seen = set()
    for now in range(0, 1200, 40):
        while (due := plant.due()) is not None and due <= now:
            plant.take(due)
        seen.add(balls.position(plant.balls[0], now))
    assert balls.position(plant.balls[0], 1200) == player.drawing.points["lane"]
    assert len(seen) > 5


def test_the_panel_changes_with_windows_states_awards_and_scores(player):
    view, machine = player.machine.view, player.machine
    area = player.desk.picture.layout.panel

    def panel():
        return pygame.image.tobytes(player.desk.screenshot().subsurface(area), "RGB")

    seen = [panel()]
    view.scores, view.players = {1: 1000}, 1
    seen.append(panel())
    machine.open_windows = [("nectar_flow", 20_000, False)]
    seen.append(panel())
    machine.open_windows = [("nectar_flow", 4_000, True)]
    seen.append(panel())
    player.happens(5, "base", "ladder.rung", 500)
    player.happens(5, "award", "ladder.rung", 1000)
    seen.append(panel())
    view.playing = True
    seen.append(panel())
    assert len(set(seen)) == len(seen)


def test_awards_carry_base_factor_and_points_and_alike_ones_are_counted(player):
    player.happens(1, "event", "ball.started", 2 * 16 + 1)
    for ms in (2, 3):
        player.happens(ms, "base", "small.spinner", 200)
        player.happens(ms, "award", "small.spinner", 400)
    player.happens(4, "award", "bee_lanes.complete", 10_000)
    player.frames(1)
    rows = [(a.player, a.name, a.base, a.factor, a.points, a.times) for a in player.desk.recent.awards]
    assert rows == [(2, "small.spinner", 200, 2, 400, 2), (2, "bee_lanes.complete", 10_000, 1, 10_000, 1)]


def test_the_caution_about_flashing_light_stands_under_the_picture(player):
    assert "flashing light" in CAUTION
    for panel in NAMES:
        player.show(panel)
        foot = player.desk.picture.layout.caution
        shown = player.desk.screenshot().subsurface(foot)
        assert len({shown.get_at((x, 6))[:3] for x in range(foot.width)}) > 5, panel


# Sounds


def test_sounds_are_off_until_asked_for_and_then_follow_the_cues(player):
    played = []
    player.happens(0, "cue", "jar", 1)
    player.frames(1)
    assert not player.desk.sounds.is_on
    player.frames(1, player.key("m"))
    assert player.desk.sounds.is_on, player.desk.message
    player.desk.sounds.play = played.append
    player.happens(20, "cue", "rung", 1)
    player.frames(2)
    assert played == ["rung"]


def test_tones_last_as_long_as_written_and_begin_and_end_softly():
    for name, figure in tones.TONES:
        samples = wave(figure)
        assert len(samples) == sum(RATE * ms // 1000 for _, ms in figure), name
        assert max(abs(samples[0]), abs(samples[-1])) < LOUD // 10, name
        assert max(samples) <= LOUD, name
