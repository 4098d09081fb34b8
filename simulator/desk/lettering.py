"""Text as images, cached: one face for words, one of even width for figures, and the playfield's own."""

from functools import lru_cache
from pathlib import Path

import pygame

Colour = tuple[int, int, int] | tuple[int, int, int, int]

WORDS, FIGURES, SIGNS = range(3)
SYSTEM = {  # the first of these that the system has; pygame's own font where it has none
    WORDS: "dejavusans,notosans,segoeui,helveticaneue,liberationsans,arial,verdana",
    FIGURES: "dejavusansmono,notosansmono,menlo,consolas,liberationmono,couriernew",
}
LARGER = 4  # signs are rendered larger and scaled down, which spaces small letters evenly
CACHED = 4096


@lru_cache(maxsize=4)
def _file(face: int) -> str:
    """The file of a face, that of pygame's own font where the system has none of its names."""
    own = Path(pygame.__file__).parent / pygame.font.get_default_font()
    return pygame.font.match_font(SYSTEM[face]) or str(own)


@lru_cache(maxsize=64)
def _font(pixels: int, face: int) -> pygame.font.Font:
    pygame.font.init()
    if face == SIGNS:
        return pygame.font.Font(None, pixels * LARGER)
    return pygame.font.Font(_file(face), pixels)


@lru_cache(maxsize=CACHED)
def width(words: str, pixels: int, face: int = WORDS) -> int:
    """The width of the words in pixels."""
    wide = _font(pixels, face).size(words)[0]
    return -(-wide // LARGER) if face == SIGNS else wide


@lru_cache(maxsize=64)
def height(pixels: int, face: int = WORDS) -> int:
    """The height of a line in pixels."""
    return _font(pixels, face).get_height() // (LARGER if face == SIGNS else 1)


@lru_cache(maxsize=CACHED)
def lettering(words: str, pixels: int, colour: Colour, face: int = WORDS) -> pygame.Surface:
    """The words on a transparent ground."""
    image = _font(pixels, face).render(words, True, colour)
    if face != SIGNS:
        return image
    return pygame.transform.smoothscale(image, (width(words, pixels, face), height(pixels, face)))


@lru_cache(maxsize=CACHED)
def fitted(text: str, wide: int, pixels: int, face: int = WORDS) -> str:
    """The text, cut with an ellipsis where it would be wider than `wide` pixels."""
    if width(text, pixels, face) <= wide:
        return text
    while text and width(text + "…", pixels, face) > wide:
        text = text[:-1]
    return text + "…"


@lru_cache(maxsize=256)
def wrapped(text: str, wide: int, pixels: int) -> tuple[str, ...]:
    """The text in lines no wider than `wide` pixels, broken between words."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, pixels) <= wide:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


@lru_cache(maxsize=CACHED)
def size_that_fits(text: str, wide: int, largest: int, smallest: int) -> int:
    """The largest font size in pixels with which the text is no wider than `wide`; `smallest` at least."""
    return next((size for size in range(largest, smallest, -1) if width(text, size) <= wide), smallest)
