"""The bar of recorded time: awards and balls as marks, where the machine is; a click or drag goes there."""

import pygame

from simulator.desk.lettering import FIGURES, width
from simulator.desk.machine import Past, View
from simulator.desk.pen import Pen

SHOWN_MS = 120_000
HIGH = ("ball.started", "ball.ended", "game.over")


class Timeline:
    """The bar below the panels. `past` None: the machine cannot go back, and only the time is shown.

    `begins_ms`: where the part begins that a script is to be made of; None: at the start.
    """

    def __init__(self, past: Past | None) -> None:
        self.past = past
        self.begins_ms: int | None = None
        self._bar = pygame.Rect(0, 0, 0, 0)
        self._view: View | None = None
        self._read = 0
        self._marks: list[tuple[int, bool]] = []  # ms, and whether it is a high one

    def span(self) -> tuple[int, int]:
        """From when to when (ms) the bar reaches."""
        if self.past is None:
            return 0, 0
        return self.past.earliest, max(self.past.latest, self.past.earliest + SHOWN_MS)

    def is_past(self, now_ms: int) -> bool:
        """Whether something recorded is ahead."""
        return self.past is not None and self.past.latest > now_ms

    def time_at(self, x: int) -> int:
        """The recorded time (ms) at this pixel."""
        first, last = self.span()
        share = (x - self._bar.x) / max(1, self._bar.width)
        latest = self.past.latest if self.past else last
        return min(latest, max(first, round(first + share * (last - first))))

    def holds(self, at: tuple[int, int]) -> bool:
        """Whether a click here goes through time."""
        return self.past is not None and self._bar.inflate(0, 10).collidepoint(at)

    def draw(self, pen: Pen, area: pygame.Rect, view: View, now_ms: int, pace: str) -> None:
        """Draw the time, the bar, and the pace."""
        size, palette = pen.size, pen.palette
        time = f"{now_ms / 1000:.1f} s"
        pen.figures(area.x, area.y, time)
        end = pen.right(area.right, area.y, pace, palette.ink, size.usual)
        if self.past is None:
            return
        left = area.x + width("0000.0 s", size.usual, FIGURES) + size.gap
        high = max(6, area.height // 2)
        self._bar = pygame.Rect(left, area.centery - high // 2, end - size.gap - left, high)
        pygame.draw.rect(pen.surface, palette.box, self._bar, border_radius=3)
        pygame.draw.rect(pen.surface, palette.edge, self._bar, 1, border_radius=3)
        self._draw_marks(pen, view)
        self._place(pen, now_ms)

    def _draw_marks(self, pen: Pen, view: View) -> None:
        """Awards as thin lines, beginnings and ends of balls as high ones; one a pixel."""
        self._read_marks(view)
        first, _ = self.span()
        pixels: dict[int, bool] = {}
        for ms, is_high in reversed(self._marks):
            if ms < first:
                break
            x = self._pixel(ms)
            pixels[x] = is_high or pixels.get(x, False)
        for x, is_high in pixels.items():
            self._line(pen, x, pen.palette.ink if is_high else pen.palette.strong, 0 if is_high else 2)

    def _read_marks(self, view: View) -> None:
        """Note what is new in the history; all of it, when the machine is at another time."""
        if view is not self._view or len(view.history) < self._read:
            self._view, self._read = view, 0
            self._marks.clear()
        for event in view.history[self._read :]:
            if event.kind == "award" or event.name in HIGH:
                self._marks.append((event.ms, event.kind != "award"))
        self._read = len(view.history)

    def _line(self, pen: Pen, x: int, colour: tuple[int, ...], inset: int) -> None:
        pygame.draw.line(pen.surface, colour, (x, self._bar.top + inset), (x, self._bar.bottom - 1 - inset))

    def _place(self, pen: Pen, now_ms: int) -> None:
        """Where the machine is, how much of what was recorded is ahead, and the part for a script."""
        x = self._pixel(now_ms)
        if self.begins_ms is not None and self.begins_ms < now_ms:
            begins = self._pixel(self.begins_ms)
            part = pygame.Rect(begins, self._bar.bottom + 2, x - begins, 2)
            pygame.draw.rect(pen.surface, pen.palette.strong, part)
        if self.past is not None and self.is_past(now_ms):
            ahead = pygame.Rect(x, self._bar.bottom - 2, self._pixel(self.past.latest) - x, 2)
            pygame.draw.rect(pen.surface, pen.palette.good, ahead)
        knob = pygame.Rect(0, 0, 5, self._bar.height + 8)
        knob.center = (x, self._bar.centery)
        pygame.draw.rect(pen.surface, pen.palette.ink, knob, border_radius=2)

    def _pixel(self, ms: int) -> int:
        first, last = self.span()
        share = (ms - first) / max(1, last - first)
        return self._bar.x + round(min(1.0, max(0.0, share)) * (self._bar.width - 1))
