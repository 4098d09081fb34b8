"""Words as images: rendered large and scaled down, which spaces small letters evenly; kept once made."""

from functools import lru_cache

import pygame

Colour = tuple[int, int, int] | tuple[int, int, int, int]

LARGER = 4
KEPT = 4096


@lru_cache(maxsize=64)
def _font(pixels: int) -> pygame.font.Font:
    """The font that comes with pygame, so that pictures look alike everywhere."""
    pygame.font.init()
    return pygame.font.Font(None, pixels * LARGER)


@lru_cache(maxsize=KEPT)
def width(words: str, pixels: int) -> int:
    """How many pixels wide the words are."""
    return -(-_font(pixels).size(words)[0] // LARGER)


@lru_cache(maxsize=KEPT)
def lettering(words: str, pixels: int, colour: Colour) -> pygame.Surface:
    """The words on a transparent ground."""
    image = _font(pixels).render(words, True, colour)
    return pygame.transform.smoothscale(image, (width(words, pixels), image.get_height() // LARGER))
