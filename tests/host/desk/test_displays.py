"""Displays on the desk's glass: they lie within it, beside each other, and a digit's segments shine."""

from types import SimpleNamespace

import pygame
import pytest

from firmware.devices.digits import segments
from simulator.desk.displays import TWO_LINES, Displays
from simulator.desk.glyphs import DIGIT_SHAPES, LIT, UNLIT
from simulator.desk.recent import Recent
from simulator.desk.sounds import Sounds

KITE = ((7, 7), (7, 7), (7, 7), (7, 7), (2, 7))
MANY = ((6, 7),) * 6 + ((2, 7),) * 2


def areas(sizes):
    """The rectangle of each display, from the glass's corner."""
    shown = Displays(sizes)
    high = shown._kinds[0].cell_height
    return shown, [
        pygame.Rect(x, y, cells * shown.cell, high)
        for (x, y), (cells, _) in zip(shown.at, sizes, strict=True)
    ]


@pytest.mark.parametrize("sizes", [TWO_LINES, KITE, MANY, ((4, 7),), ((16, 14),)])
def test_displays_lie_on_the_glass_and_not_on_each_other(sizes):
    shown, rects = areas(sizes)
    glass = pygame.Rect((0, 0), shown.size)
    assert all(glass.contains(rect) for rect in rects)
    assert all(one.collidelist(rects[at + 1 :]) == -1 for at, one in enumerate(rects))


def test_the_small_display_stands_between_the_first_two():
    _, rects = areas(KITE)
    assert rects[0].right <= rects[4].left
    assert rects[4].right <= rects[1].left
    assert rects[0].y == rects[1].y == rects[4].y < rects[2].y


def test_the_segments_of_a_digit_shine_and_no_other():
    shown = Displays(KITE)
    surface = pygame.Surface(shown.size)
    cells = [[32] * size for size, _ in KITE]
    cells[3][6] = ord("5")
    shown.draw(surface, surface.get_rect(), cells)
    for segment in range(len(DIGIT_SHAPES)):
        red = surface.get_at(shown.point(3, 6, segment))[0]
        assert (red > (LIT[0] + UNLIT[0]) // 2) == bool(segments(ord("5")) >> segment & 1)


def heard(tones, monkeypatch):
    """Sounds of a game's tones, and what is heard of them."""
    sounds = Sounds(tones)
    played = []
    monkeypatch.setattr(sounds, "_sound", lambda name, figure: played.append((name, figure)))
    return sounds, played


def test_of_a_game_with_chimes_their_strokes_are_heard_and_not_its_cues(monkeypatch):
    tones = SimpleNamespace(TONES=(), CHIMES=(("chime.low", ((494, 150),)),))
    sounds, played = heard(tones, monkeypatch)
    sounds.play("start")
    sounds.strike("tail_reset")
    assert played == []
    sounds.strike("chime.low")
    assert played == [("chime.low", ((494, 150),))]


def test_of_a_game_without_chimes_its_cues_are_heard(monkeypatch):
    sounds, played = heard(SimpleNamespace(TONES=(("start", ((262, 80),)),)), monkeypatch)
    sounds.strike("knocker")
    sounds.play("start")
    assert played == [("start", ((262, 80),))]


def test_each_stroke_is_noticed_once():
    recent = Recent()
    view = SimpleNamespace(history=[SimpleNamespace(ms=1, kind="coil", name="chime.low", value=25)])
    recent.update(view)
    assert recent.fired == ["chime.low"]
    recent.update(view)
    assert recent.fired == []
