"""Lamp patterns into the strobe's words, texts into the displays' bytes, in viper."""

import micropython


@micropython.viper
def paint(patterns: ptr8, frame: ptr32, lit: int):
    """Patterns into eight words for the strobe; bit n of `lit` says whether pattern n shows now."""
    column = 0
    while column < 8:
        rows = 0
        row = 0
        while row < 8:
            pattern = patterns[column * 8 + row]
            if pattern:
                if (lit >> pattern) & 1:
                    rows |= 1 << row
            row += 1
        frame[column] = ((1 << (column + 8)) | rows) << 16
        column += 1


@micropython.viper
def spell(image: ptr8, glyphs: ptr16, chunk: int, cells: int) -> int:
    """Three cells of a line into the chips' bytes, as firmware.devices.segments has them; a bit for each chip
    that has to be written."""
    cell = (chunk >> 3) * 16 + (chunk & 7) * 3
    stop = (chunk >> 3) * 16 + 16
    if cell + 3 < stop:
        stop = cell + 3
    stale = 0
    while cell < stop:
        glyph = glyphs[cells & 127] | (cells & 384) << 7
        at = (cell >> 3) * 17 + 1 + (cell & 7) * 2
        if image[at] != glyph & 255 or image[at + 1] != glyph >> 8:
            image[at] = glyph & 255
            image[at + 1] = glyph >> 8
            stale |= 1 << (cell >> 3)
        cells = cells >> 9
        cell += 1
    return stale
