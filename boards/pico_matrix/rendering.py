"""Renders lamp patterns into the words of the lamp strobe, and display cells into the displays' bytes.

In viper, MicroPython's subset of Python that becomes machine code.
"""

import micropython


@micropython.viper
def render_lamps(patterns: ptr8, frame: ptr32, lit: int):
    """Write eight words, one a column, into `frame`.

    `patterns` has a byte a lamp, column by column; 0 is off. Bit n of `lit` says whether a lamp with pattern
    n is lit in the present phase of blinking. A word: bit 24 + column, and bit 16 + row of every lit lamp.
    """
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
def render_cells(image: ptr8, glyphs: ptr16, chunk: int, cells: int) -> int:
    """Write up to three display cells into `image`; returns a bit for each chip whose bytes changed.

    `chunk`: bit 3 is the line, bits 0 to 2 which three of its 16 cells. `cells`: nine bits a cell, the first
    one lowest: ASCII, point, comma. `glyphs`: 16-bit segments by character, see firmware.devices.segments.
    `image`: 17 bytes a chip, its address and then two for each of eight cells, the low byte first.
    """
    cell = (chunk >> 3) * 16 + (chunk & 7) * 3
    stop = (chunk >> 3) * 16 + 16
    if cell + 3 < stop:
        stop = cell + 3
    changed = 0
    while cell < stop:
        glyph = glyphs[cells & 127] | (cells & 384) << 7
        at = (cell >> 3) * 17 + 1 + (cell & 7) * 2
        if image[at] != glyph & 255 or image[at + 1] != glyph >> 8:
            image[at] = glyph & 255
            image[at + 1] = glyph >> 8
            changed |= 1 << (cell >> 3)
        cells = cells >> 9
        cell += 1
    return changed
