"""Draws balls at their places, and on the drawing's paths between them."""

import math
from collections.abc import Sequence

import pygame

from simulator.ball import Ball
from simulator.desk.canvas import Canvas
from simulator.drawing.drawing import Drawing
from simulator.drawing.geometry import Point, along


class Balls:
    """Draws balls; a millimetre of the drawing is `scale` pixels."""

    def __init__(self, drawing: Drawing, scale: float) -> None:
        self._drawing = drawing
        self._scale = scale
        self._bright = self._image(255)
        self._below = self._image(70)

    def draw(self, surface: pygame.Surface, balls: Sequence[Ball], now_ms: int) -> None:
        """Draw every ball; those that would hide each other are drawn side by side."""
        taken: set[tuple[int, int]] = set()
        for ball in balls:
            x, y = self.position(ball, now_ms)
            while (round(x), round(y)) in taken:  # several balls at one flipper
                x, y = x + self._drawing.ball_radius, y - self._drawing.ball_radius
            taken.add((round(x), round(y)))
            image = self._below if self.is_below(ball) else self._bright
            surface.blit(image, image.get_rect(center=(round(x * self._scale), round(y * self._scale))))

    def position(self, ball: Ball, now_ms: int) -> Point:
        """Where a ball is at `now_ms`, in mm."""
        if ball.at is not None:
            return ball.at
        points = self._drawing.points
        start, end = points[ball.origin], points[ball.goal]
        if now_ms >= ball.until or ball.until == ball.since:
            return end
        path = self._drawing.paths.get((ball.origin, ball.goal))
        way = (start, *(path.points if path else ()), end)
        return along(way, max(0.0, (now_ms - ball.since) / (ball.until - ball.since)))

    def is_below(self, ball: Ball) -> bool:
        """Whether a ball is under the playfield."""
        path = self._drawing.paths.get((ball.origin, ball.goal))
        return ball.at is None and path is not None and path.below

    def _image(self, alpha: int) -> pygame.Surface:
        radius = self._drawing.ball_radius
        reach = radius + 3
        pixels = math.ceil(reach * 2 * self._scale)
        canvas = Canvas((pixels, pixels), self._scale, (-reach, -reach))
        canvas.disc((0, 0, 0, alpha // 2), 1.5, 2.5, radius)
        canvas.disc((150, 156, 162, alpha), 0, 0, radius)
        canvas.disc((206, 212, 218, alpha), -1.2, -1.6, radius * 0.8)
        canvas.disc((255, 255, 255, alpha), -radius * 0.34, -radius * 0.4, radius * 0.3)
        return canvas.render()
