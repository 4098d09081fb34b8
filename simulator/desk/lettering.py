"""Text as images: rendered LARGER times larger and scaled down, which spaces small letters evenly; cached."""

from functools import lru_cache

import pygame

Colour = tuple[int, int, int] | tuple[int, int, int, int]

LARGER = 4
CACHED = 4096


@lru_cache(maxsize=64)
def _font(pixels: int) -> pygame.font.Font:
    """The font that comes with pygame, so that pictures look alike everywhere."""
    pygame.font.init()
    return pygame.font.Font(None, pixels * LARGER)


@lru_cache(maxsize=CACHED)
def width(words: str, pixels: int) -> int:
    """The width of the words in pixels."""
    return -(-_font(pixels).size(words)[0] // LARGER)


@lru_cache(maxsize=CACHED)
def lettering(words: str, pixels: int, colour: Colour) -> pygame.Surface:
    """The words on a transparent ground."""
    image = _font(pixels).render(words, True, colour)
    return pygame.transform.smoothscale(image, (width(words, pixels), image.get_height() // LARGER))
