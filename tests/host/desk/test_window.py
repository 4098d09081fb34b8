"""The desk's window: any size, nothing cut off, colours that can be told apart, rest when nothing changes."""

import itertools
import math
from pathlib import Path

import pygame
import pytest

from hil import games
from hil.command import drawn
from simulator.desk.idle import AGAIN_MS, FIRST_MS
from simulator.desk.layout import CAUTION, LEAST, lay_out
from simulator.desk.lettering import FIGURES, WORDS, height, lettering, width, wrapped
from simulator.desk.palette import BRIGHT, CLEAR, DARK, PALETTES, contrast, luminance
from simulator.desk.panels import NAMES, PANELS
from simulator.desk.panels.keyboard import placed
from simulator.desk.warmth import COOLS_MS, LEVELS, WARMS_MS, Warmth
from simulator.desk.window import Frames, free_name
from simulator.drawing.colours import LAMPS

SIZES = [LEAST, (1280, 800), (1366, 768), (1920, 1080), (3840, 2160), (1080, 1920), (2560, 1080)]
ENOUGH = 4.5  # WCAG 2.2, success criterion 1.4.3

# Severity 1.0, on linear RGB: Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation
# of Color Vision Deficiency", IEEE TVCG 15(6), 2009, table of matrices (read in two reprints).
PROTANOPIA = (
    (0.152286, 1.052583, -0.204868),
    (0.114503, 0.786281, 0.099216),
    (-0.003882, -0.048116, 1.051998),
)
DEUTERANOPIA = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)


# Sizes


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("game", games.built_in())
def test_everything_lies_in_the_window_and_nothing_on_anything_else(size, game):
    layout = lay_out(size, drawn.drawing(games.load(game)).size)
    window = pygame.Rect((0, 0), size)
    areas = [
        layout.field,
        layout.glass,
        layout.tabs,
        layout.panel,
        layout.message,
        layout.time,
        layout.caution,
    ]
    assert all(window.contains(area) for area in areas)
    assert not any(one.colliderect(other) for one, other in itertools.combinations(areas, 2))
    assert layout.panel.height >= size[1] // 3


@pytest.mark.parametrize("size", SIZES)
def test_the_playfield_is_as_high_as_the_window_or_takes_its_share_of_the_width(size):
    layout = lay_out(size, (510, 1070))
    assert layout.field.height >= size[1] - 50 or layout.field.width >= size[0] * 0.4


@pytest.mark.parametrize("size", SIZES)
def test_the_whole_caution_and_every_tab_have_room(size):
    layout = lay_out(size, (510, 1070))
    lines = wrapped(CAUTION, layout.caution.width, layout.sizes.small)
    assert " ".join(lines) == CAUTION
    assert max(width(line, layout.sizes.small) for line in lines) <= layout.caution.width
    assert len(lines) * height(layout.sizes.small) <= layout.caution.height
    words = sum(width(panel.name.capitalize(), layout.sizes.usual) + 9 for panel in PANELS)
    assert words <= layout.tabs.width


@pytest.mark.parametrize("size", SIZES)
def test_every_key_is_in_the_help(player, size):
    layout = lay_out(size, player.drawing.size)
    area = layout.panel.copy()
    area.height -= 4 * layout.sizes.small_line
    lines = placed(area, player.desk.keymap.groups, layout.sizes)
    assert len(lines) == sum(1 + len(keys) for _, keys in player.desk.keymap.groups)
    assert all(area.contains(rect) for _, rect in lines)
    assert len({rect.topleft for _, rect in lines}) == len(lines)
    assert all(rect.height >= layout.sizes.small for _, rect in lines)
    small = layout.sizes.small
    for line, rect in lines:
        if not isinstance(line, str):
            caps = max(width(line.cap, small) + 8, small * 3) + 6
            assert caps + width(line.label, small) <= rect.width, line.label


@pytest.mark.parametrize("panel", NAMES)
@pytest.mark.parametrize("size", [LEAST, (1920, 1080)])
def test_a_panel_changes_nothing_outside_its_place(player, panel, size):
    player.machine.view.players = 1
    before = player.desk.screenshot(size)
    player.desk.show(panel)
    after = player.desk.screenshot(size)
    layout = player.desk.picture.layout
    for area in (layout.field, layout.glass, layout.message, layout.caution):
        one, other = (pygame.image.tobytes(each.subsurface(area), "RGB") for each in (before, after))
        assert one == other, area


def test_a_window_of_another_size_is_drawn_anew_in_its_own_pixels(player):
    small, large = pygame.Surface(LEAST), pygame.Surface((1920, 1080))
    player.desk.draw(small)
    assert player.desk.picture.layout.size == LEAST
    player.desk.draw(large)
    layout = player.desk.picture.layout
    assert layout.size == (1920, 1080)
    assert layout.field.height > 1000
    at = player.insert("jar")
    assert large.get_at(at) != large.get_at((0, 0))


# Rest


def test_nothing_is_drawn_when_nothing_changed(player):
    surface = pygame.Surface((1280, 800))
    assert player.desk.draw(surface)
    assert player.desk.draw(surface) == []
    player.machine.view.lamps["jar"] = 1
    player.machine.now += 500
    assert player.desk.picture.layout.field in player.desk.draw(surface)


def test_of_what_changes_only_its_region_is_drawn(player):
    surface = pygame.Surface((1280, 800))
    player.desk.draw(surface)
    player.machine.view.cells[0][0] = ord("A")
    assert player.desk.draw(surface) == [player.desk.picture.layout.glass]


def test_the_desk_rests_while_the_time_is_stopped_and_a_lamp_no_longer_cools(player):
    surface = pygame.Surface((1280, 800))
    player.desk.draw(surface)
    assert not player.desk.is_resting()
    player.frames(1, player.key("p"))
    assert player.desk.is_resting()
    assert player.desk.is_idle()


@pytest.fixture
def window():
    pygame.display.init()
    pygame.display.set_mode(LEAST)
    pygame.event.clear()
    yield pygame.display.get_surface()
    pygame.display.quit()


def test_a_key_saves_a_picture_and_says_where(player, window, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    frames = Frames(player.desk)
    for number in (1, 2):
        pygame.event.post(player.key("f12"))
        assert frames.play()
        path = tmp_path / f"inlane-{number}.png"
        assert str(path) in player.desk.message
        assert pygame.image.load(path).get_size() == LEAST


def test_full_screen_is_left_by_the_same_key(player, window):
    frames = Frames(player.desk)
    for wanted in (True, False):
        pygame.event.post(player.key("f11"))
        frames.play()
        assert frames._is_full == wanted


def test_a_free_name_is_the_first_that_is_not_taken(tmp_path):
    (tmp_path / "a-1").touch()
    assert free_name("a-{}", tmp_path) == Path(tmp_path / "a-2")


# Keys and help


def test_help_comes_by_its_key_and_by_the_question_mark(player):
    player.frames(1, player.key("f1"))
    assert player.desk.panel == "help"
    player.frames(1, player.key("escape"))
    assert player.desk.panel == "game"
    slash = pygame.event.Event(pygame.KEYDOWN, key=pygame.K_SLASH, unicode="?")
    player.frames(1, slash)
    assert player.desk.panel == "help"


def test_panels_are_chosen_by_key_and_by_tab(player):
    player.frames(1, player.key("f2"))
    assert player.desk.panel == NAMES[1]
    player.frames(1, player.key("f3"), player.key("f3"))
    assert player.desk.panel == NAMES[-1]
    player.desk.screenshot()
    for name in NAMES:
        at = player.desk.picture.tabs.rect("panel", name).center
        player.frames(1, player.mouse(at))
        assert player.desk.panel == name


def test_the_cradle_holds_both_flippers_and_lets_them_down(player):
    player.frames(5, player.key("'"))
    assert player.machine.log == [(0, "button.left", True), (0, "button.right", True)]
    player.frames(5, player.key("'"))
    assert [row[1:] for row in player.machine.log[2:]] == [("button.left", False), ("button.right", False)]


def test_a_ball_that_is_idle_is_spoken_of_before_the_search_and_later(player):
    view, machine = player.machine.view, player.machine
    view.playing = True
    machine.balls[0].place = "playfield"
    player.happens(0, "edge", "orbit.left", 1)
    player.frames(FIRST_MS // player.FRAME - 5)
    assert "no contact" not in player.desk.message
    player.frames(10)
    assert "no contact for 10 s" in player.desk.message
    player.desk.message = ""
    player.frames(AGAIN_MS // player.FRAME + 10)
    assert "no contact for 40 s" in player.desk.message
    player.desk.message = ""
    player.happens(machine.now, "edge", "orbit.left", 1)
    player.frames(10)
    assert player.desk.message == ""


# Lamps


def test_a_bulb_reaches_two_thirds_in_its_time_constant_and_cools_more_slowly():
    lamp = Warmth()
    lamp.follow({"a": 0}, 0)
    lamp.follow({"a": 1}, WARMS_MS)
    assert lamp.levels["a"] == round(LEVELS * (1 - 1 / math.e))
    lamp.follow({"a": 1}, 10 * WARMS_MS)
    assert lamp.levels["a"] == LEVELS
    lamp.follow({"a": 0}, 10 * WARMS_MS + COOLS_MS)
    assert lamp.levels["a"] == round(LEVELS / math.e)
    assert COOLS_MS > WARMS_MS


def test_small_steps_and_a_large_one_warm_a_bulb_alike():
    one, other = Warmth(), Warmth()
    for lamp in (one, other):
        lamp.follow({"a": 0}, 0)
    for ms in range(1, 41):
        one.follow({"a": 1}, ms)
    other.follow({"a": 1}, 40)
    assert one.levels == other.levels


def test_an_led_follows_at_once_and_so_does_everything_after_a_leap_in_time():
    lamp = Warmth(["a"])
    lamp.follow({"a": 0, "b": 0}, 1000)
    lamp.follow({"a": 1, "b": 1}, 1001)
    assert (lamp.levels["a"], lamp.levels["b"] < LEVELS) == (LEVELS, True)
    lamp.follow({"a": 1, "b": 1}, 500)
    assert lamp.levels["b"] == LEVELS
    assert not lamp.is_changing


def test_a_flasher_lights_what_is_around_it_unless_the_light_is_calm(player):
    flasher = player.drawing.flashers[0]
    beside = player.pixel(flasher.x + 45, flasher.y + 20)
    dark = player.bright(beside)
    player.happens(0, "coil", flasher.coil, 5000)
    player.frames(20)
    assert player.bright(beside) > dark + 12
    player.frames(1, player.key("\\"))
    assert player.bright(beside) == dark


def test_the_general_light_changes_within_half_a_second_and_at_once_when_time_goes_back(player):
    at = player.pixel(player.drawing.size[0] / 2, player.drawing.size[1] * 0.97)
    player.machine.now = 5000
    full = player.bright(at)
    player.machine.inside.light = lambda: 0
    player.machine.now = 5100
    between = player.bright(at)
    player.machine.now = 5700
    dark = player.bright(at)
    assert full > between > dark
    player.machine.inside.light = lambda: 100
    player.machine.now = 1000
    assert player.bright(at) == full


def test_balls_shine_and_leave_light_behind_only_while_several_are_out(player):
    balls = player.machine.balls
    x, y = player.drawing.points["flipper.left"]
    beside = player.pixel(x - 20, y - 20)
    alone = player.bright(beside)
    balls[0].place, balls[0].origin, balls[0].goal = "playfield", "flipper.left", "flipper.left"
    assert player.bright(beside) == alone
    balls[1].place = "playfield"
    assert player.bright(beside) > alone


# Colours


@pytest.mark.parametrize("palette", PALETTES, ids=lambda palette: palette.name)
def test_text_of_every_palette_can_be_read(palette):
    for name in ("ink", "faint", "strong", "good", "bad"):
        for ground in (palette.back, palette.box):
            assert contrast(getattr(palette, name), ground) >= ENOUGH, name
    assert contrast(palette.on_strong, palette.strong) >= ENOUGH


def test_contrast_is_that_of_the_guideline():
    assert contrast((255, 255, 255), (0, 0, 0)) == pytest.approx(21)
    assert contrast((119, 119, 119), (255, 255, 255)) == pytest.approx(
        4.48, abs=0.01
    )  # WebAIM's example (mem)


def test_f10_goes_through_the_palettes_and_draws_in_them(player):
    grounds = []
    for palette in (DARK, BRIGHT, CLEAR):
        assert player.desk.palette is palette
        grounds.append(player.desk.screenshot().get_at((2, 2))[:3])
        player.frames(1, player.key("f10"))
    assert grounds == [DARK.back, BRIGHT.back, CLEAR.back]
    assert player.desk.palette is DARK


def linear(colour):
    return [
        channel / 255 / 12.92 if channel <= 10 else ((channel / 255 + 0.055) / 1.055) ** 2.4
        for channel in colour
    ]


def lab(rgb):
    """CIE L*a*b* (D65) of linear RGB by sRGB's primaries (IEC 61966-2-1)."""
    red, green, blue = (min(1.0, max(0.0, channel)) for channel in rgb)
    xyz = (
        (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047,
        0.2126 * red + 0.7152 * green + 0.0722 * blue,
        (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883,
    )
    x, y, z = (v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in xyz)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def as_seen(colour, eyes):
    rgb = linear(colour)
    return lab([sum(part * value for part, value in zip(row, rgb, strict=True)) for row in eyes])


def nearest(lamps, eyes):
    """The smallest difference (CIE76) between two lamp colours as these eyes see them."""
    seen = [as_seen(colour, eyes) for colour in lamps.values()]
    return min(math.dist(one, other) for one, other in itertools.combinations(seen, 2))


@pytest.mark.parametrize("eyes", [PROTANOPIA, DEUTERANOPIA])
def test_the_lamps_of_the_third_palette_differ_for_eyes_that_lack_red_or_green(eyes):
    assert set(CLEAR.lamps) == set(LAMPS)
    assert nearest(LAMPS, eyes) < 15
    assert nearest(CLEAR.lamps, eyes) > 30


def test_every_lamp_colour_is_brighter_than_the_playfield_is_dark():
    for palette in PALETTES:
        assert all(luminance(colour) > 0.02 for colour in palette.lamps.values())


# Type


def test_words_and_figures_have_faces_of_their_own():
    words, figures = (
        pygame.image.tobytes(lettering("Ag 1", 20, (9, 9, 9), face), "RGBA") for face in (WORDS, FIGURES)
    )
    assert words != figures
    assert width("1111", 20, FIGURES) == width("8888", 20, FIGURES) == width("iiii", 20, FIGURES)
