"""The drawn display: a pixel in the middle of each segment shines exactly when its bit is set."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"

import pygame
import pytest

from firmware.devices.segments import COMMA, POINT, segments
from simulator.desk.glyphs import LIT, SHAPES, UNLIT, Display

CELL = 48


def drawn(*cells):
    display = Display(CELL)
    surface = pygame.Surface((CELL * len(cells), display.cell_height))
    display.draw(surface, 0, 0, cells)
    return display, surface


def shining(surface, at):
    red, green, blue, _ = surface.get_at(at)
    return red > (LIT[0] + UNLIT[0]) // 2 and green > blue


@pytest.mark.parametrize("character", "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ +-*/=$%&()<>?@[]_|")
def test_every_segment_of_a_character_is_drawn_lit_and_no_other(character):
    display, surface = drawn(ord(character))
    bits = segments(ord(character))
    for number in range(len(SHAPES)):
        lit = bool(bits >> number & 1)
        assert shining(surface, display.segment_point(0, number)) == lit, (character, number)


def test_there_is_a_shape_for_each_of_the_fourteen_segments():
    assert len(SHAPES) == 14


def test_cells_are_drawn_one_beside_the_other():
    display, surface = drawn(ord("L"), ord("T"))
    bottom, top = 3, 0
    assert shining(surface, display.segment_point(0, bottom))
    assert not shining(surface, display.segment_point(0, top))
    assert shining(surface, display.segment_point(1, top))
    assert not shining(surface, display.segment_point(1, bottom))


def test_point_and_comma_shine_beside_the_glyph_and_the_comma_has_a_tail():
    plain, point, comma = (drawn(ord("7") | extra)[1] for extra in (0, 128, 256))
    assert segments(ord("7") | 128) & POINT
    assert segments(ord("7") | 256) & COMMA

    def lights(surface):
        width, height = surface.get_size()
        return {(x, y) for x in range(width) for y in range(height) if shining(surface, (x, y))}

    dot = lights(point) - lights(plain)
    tail = lights(comma) - lights(point)
    assert dot
    assert tail
    assert max(y for _, y in tail) > max(y for _, y in dot)
    assert lights(plain) < lights(point) < lights(comma)
