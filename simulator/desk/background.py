"""Draws the playfield's unchanging background, once, from the drawing."""

import pygame

from simulator.desk.canvas import Canvas
from simulator.drawing.drawing import Drawing
from simulator.drawing.parts import Part

GROUND = (24, 22, 20)


def draw_background(drawing: Drawing, scale: float) -> pygame.Surface:
    """Everything that never changes, the labels of the inserts included."""
    width, height = drawing.size
    canvas = Canvas((round(width * scale), round(height * scale)), scale)
    canvas.polygon(GROUND, ((0, 0), (width, 0), (width, height), (0, height)))
    for still in drawing.still:
        if isinstance(still, Part):
            canvas.part(still)
        else:
            canvas.label(still)
    return canvas.render()
