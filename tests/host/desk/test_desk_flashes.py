"""The desk's picture against the accessibility guideline's area for more than three flashes a second.

WCAG 2.2, "general flash and red flash thresholds" (read, www.w3.org): below them is what flashes on at most a
quarter of any 341 × 256 pixels of a picture of 1024 × 768; this one has more pixels, which are smaller.
A pixel flashes when its relative luminance changes by a tenth of the greatest one with the darker state below
0.80; saturated red when R / (R + G + B) is 0.8 or more in either state, and (R − G − B) × 320 changes by more
than 20 (WCAG 2.0's own note, mem).
"""

import pygame

WIDE, HIGH = 341, 256
QUARTER = WIDE * HIGH // 4
STEP = 16
RAPID = 4


def linear(channel: int) -> float:
    """A channel of sRGB, 0 to 255, as light."""
    share = channel / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


LIGHT = [linear(channel) for channel in range(256)]


def luminance(red: int, green: int, blue: int) -> float:
    return 0.2126 * LIGHT[red] + 0.7152 * LIGHT[green] + 0.0722 * LIGHT[blue]


def red_of(red: int, green: int, blue: int) -> float:
    return max(0.0, LIGHT[red] - LIGHT[green] - LIGHT[blue]) * 320


def is_red(red: int, green: int, blue: int) -> bool:
    whole = LIGHT[red] + LIGHT[green] + LIGHT[blue]
    return whole > 0 and LIGHT[red] / whole >= 0.8


def flashes(one: tuple[int, int, int], other: tuple[int, int, int]) -> bool:
    """Whether a pixel that changes between two colours is a general or a red flash."""
    dark, bright = sorted((luminance(*one), luminance(*other)))
    if bright - dark >= 0.1 and dark < 0.8:
        return True
    return (is_red(*one) or is_red(*other)) and abs(red_of(*one) - red_of(*other)) > 20


def changed(one: pygame.Surface, other: pygame.Surface) -> list[tuple[int, int]]:
    """The pixels that flash between two pictures."""
    width, height = one.get_size()
    before, after = (pygame.image.tobytes(each, "RGB") for each in (one, other))
    found = []
    for at in range(0, len(before), 3):
        one_pixel, other_pixel = tuple(before[at : at + 3]), tuple(after[at : at + 3])
        if one_pixel != other_pixel and flashes(one_pixel, other_pixel):
            found.append((at // 3 % width, at // 3 // width))
    assert width * height * 3 == len(before)
    return found


def most_in_a_window(pixels: list[tuple[int, int]]) -> int:
    """The most of these pixels in any window of WIDE × HIGH, within STEP pixels."""
    counts: dict[tuple[int, int], int] = {}
    for x, y in pixels:
        counts[x // STEP, y // STEP] = counts.get((x // STEP, y // STEP), 0) + 1
    wide, high = WIDE // STEP + 1, HIGH // STEP + 1  # a little more than the window
    return max(
        sum(counts.get((left + i, top + k), 0) for i in range(wide) for k in range(high))
        for left in range(80)
        for top in range(64)
    )


def test_every_insert_blinking_rapidly_is_less_than_a_quarter_of_any_field_of_view(player):
    for lamp in player.machine.view.lamps:
        player.machine.view.lamps[lamp] = RAPID
    lit = player.desk.screenshot().copy()
    player.machine.now = 125
    dark = player.desk.screenshot().copy()
    pixels = changed(lit, dark)
    assert len(pixels) > 500  # the inserts do blink
    assert most_in_a_window(pixels) < QUARTER


def test_a_whole_picture_that_flashes_would_be_found():
    one, other = pygame.Surface((360, 270)), pygame.Surface((360, 270))
    other.fill((255, 255, 255))
    assert most_in_a_window(changed(one, other)) > QUARTER
