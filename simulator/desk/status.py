"""Draws the desk's first column: the game, open windows, where the balls are, the last awards."""

import pygame

from simulator.desk.machine import DeskMachine
from simulator.desk.pen import BAD, BOX, FAINT, GOOD, INK, LINE, SMALL, STRONG, Pen
from simulator.desk.recent import AWARDS, Award, Recent

WINDOWS = 6
FULL_MS = 30_000  # a window's bar is full at this
HURRY_MS = 5_000


def draw_status(pen: Pen, area: pygame.Rect, machine: DeskMachine, recent: Recent) -> None:
    """Draw this column from the top of `area` down."""
    y = _game(pen, area, machine)
    y = _windows(pen, area, y + 8, machine.windows())
    y = _places(pen, area, y + 8, machine.places())
    _awards(pen, area, y + 8, recent)


def _game(pen: Pen, area: pygame.Rect, machine: DeskMachine) -> int:
    view = machine.view
    y = pen.heading(area.x, area.y, area.width, "Game")
    if not view.players:
        pen.words(area.x, y, "no game yet", FAINT)
        return y + LINE * 2
    if view.playing:
        words = f"player {view.player} of {view.players}, ball {view.ball} of {machine.balls_a_game}"
    else:
        words = f"over; {view.players} played"
    pen.words(area.x, y, words)
    for player in range(1, view.players + 1):
        x = area.x + (player - 1) % 2 * (area.width // 2)
        colour = STRONG if player == view.player and view.playing else INK
        pen.words(x, y + LINE * (1 + (player - 1) // 2), f"{player}: {view.scores.get(player, 0):,}", colour)
    return y + LINE * (2 + (view.players - 1) // 2)


def _windows(pen: Pen, area: pygame.Rect, y: int, windows: list[tuple[str, int, bool]]) -> int:
    y = pen.heading(area.x, y, area.width, "Windows")
    for name, left_ms, frozen in windows[:WINDOWS]:
        colour = FAINT if frozen else (BAD if left_ms <= HURRY_MS else GOOD)
        pen.pair(area.x, y, area.width, name, f"{left_ms / 1000:.1f} s", colour)
        bar = pygame.Rect(area.x + 122, y + 5, area.width - 182, 6)
        pygame.draw.rect(pen.surface, BOX, bar)
        bar.width = bar.width * min(left_ms, FULL_MS) // FULL_MS
        pygame.draw.rect(pen.surface, colour, bar)
        y += LINE
    if windows and not any(frozen for _, _, frozen in windows):
        return y
    words = "they stand still: no ball is free" if windows else "none open"
    pen.words(area.x, y, words, FAINT, SMALL)
    return y + LINE


def _places(pen: Pen, area: pygame.Rect, y: int, places: dict[str, int]) -> int:
    y = pen.heading(area.x, y, area.width, "Balls")
    x = area.x
    for name, count in places.items():
        if x > area.right - 84:
            x, y = area.x, y + LINE
        x = pen.words(x, y, f"{name} ", FAINT)
        x = pen.words(x, y, str(count), STRONG if count else FAINT) + 12
    return y + LINE


def _awards(pen: Pen, area: pygame.Rect, y: int, recent: Recent) -> None:
    y = pen.heading(area.x, y, area.width, "Last awards")
    rows = min(AWARDS, (area.bottom - y) // LINE)
    for award in list(recent.awards)[::-1][:rows]:
        name = award.name if award.times == 1 else f"{award.name}, {award.times} times"
        pen.pair(area.x, y, area.width, name, award_words(award), INK)
        y += LINE
    if not recent.awards:
        pen.words(area.x, y, "none yet", FAINT)


def award_words(award: Award) -> str:
    """Points, with base and factor when there was a factor."""
    if award.factor == 1:
        return f"{award.points:,}"
    return f"{award.base:,} × {award.factor} = {award.points:,}"
