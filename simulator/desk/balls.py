"""Draws balls at their places, and on the layout's paths between them."""

import itertools
import math
from collections.abc import Sequence

import pygame

from simulator.ball import Ball
from simulator.desk.canvas import Canvas, Point
from simulator.desk.layout import Layout


class Balls:
    """Draws balls; a unit of the layout is `scale` pixels."""

    def __init__(self, layout: Layout, scale: float) -> None:
        self._layout = layout
        self._scale = scale
        self._bright = self._image(255)
        self._below = self._image(70)

    def draw(self, surface: pygame.Surface, balls: Sequence[Ball], now_ms: int) -> None:
        """Draw every ball; those that would hide each other are drawn side by side."""
        taken: set[tuple[int, int]] = set()
        for ball in balls:
            x, y = self.position(ball, now_ms)
            while (round(x), round(y)) in taken:  # several balls at one flipper
                x, y = x + self._layout.ball_radius, y - self._layout.ball_radius
            taken.add((round(x), round(y)))
            image = self._below if ball.place in self._layout.hidden_places else self._bright
            surface.blit(image, image.get_rect(center=(round(x * self._scale), round(y * self._scale))))

    def position(self, ball: Ball, now_ms: int) -> Point:
        """Where a ball is at `now_ms`, in units of the layout."""
        points = self._layout.points
        start, end = points[ball.origin], points[ball.goal]
        if now_ms >= ball.until or ball.until == ball.since:
            return end
        path = (start, *self._layout.paths.get((ball.origin, ball.goal), ()), end)
        return point_along(path, max(0.0, (now_ms - ball.since) / (ball.until - ball.since)))

    def _image(self, alpha: int) -> pygame.Surface:
        radius = self._layout.ball_radius
        reach = radius + 3
        pixels = math.ceil(reach * 2 * self._scale)
        canvas = Canvas((pixels, pixels), self._scale, (-reach, -reach))
        canvas.disc((0, 0, 0, alpha // 2), 1.5, 2.5, radius)
        canvas.disc((150, 156, 162, alpha), 0, 0, radius)
        canvas.disc((206, 212, 218, alpha), -1.2, -1.6, radius * 0.8)
        canvas.disc((255, 255, 255, alpha), -radius * 0.34, -radius * 0.4, radius * 0.3)
        return canvas.render()


def point_along(path: Sequence[Point], part: float) -> Point:
    """The point at `part` (0 to 1) of a path's length."""
    lengths = [math.dist(a, b) for a, b in itertools.pairwise(path)]
    left = part * sum(lengths)
    for (a, b), length in zip(itertools.pairwise(path), lengths, strict=True):
        if left <= length and length:
            return a[0] + (b[0] - a[0]) * left / length, a[1] + (b[1] - a[1]) * left / length
        left -= length
    return path[-1]
