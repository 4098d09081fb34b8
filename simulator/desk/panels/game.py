"""The panel of the game: scores, open windows, the last awards; before a game, how to start one."""

import pygame

from simulator.desk.panels.card import draw_card
from simulator.desk.panels.lamps import draw_dot
from simulator.desk.panels.ledger import award_words
from simulator.desk.panels.rules import draw_rules, rules_of
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import columns
from simulator.desk.panels.windows import draw_windows
from simulator.desk.pen import Pen

SLOW = 2  # the first pattern that blinks
LEAST = 8  # letters that a column of lamps is wide


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    view = scene.machine.view
    if not view.players:
        draw_card(pen, area, scene)
        return
    gap = pen.size.gap * 2
    wide = (area.width - gap) // 2
    left = pygame.Rect(area.x, area.y, wide, area.height)
    right = pygame.Rect(left.right + gap, area.y, area.right - left.right - gap, area.height)
    y = _scores(pen, left, scene)
    y = draw_windows(pen, pygame.Rect(left.x, y + gap, wide, left.bottom - y - gap), scene)
    y = _lit(pen, pygame.Rect(left.x, y + gap, wide, left.bottom - y - gap), scene)
    _rules(pen, pygame.Rect(left.x, y + gap, wide, left.bottom - y - gap), scene)
    _awards(pen, right, scene)


def _scores(pen: Pen, area: pygame.Rect, scene: Scene) -> int:
    """Who plays which ball, and every player's score; returns the y below."""
    view, size = scene.machine.view, pen.size
    words = "Game over"
    if view.playing:
        words = f"Player {view.player}, ball {view.ball} of {scene.machine.balls_a_game}"
    y = pen.heading(area.x, area.y, area.width, words) + 2
    for player in range(1, view.players + 1):
        now = view.playing and player == view.player
        font = size.huge if now or view.players == 1 else size.large
        colour = pen.palette.strong if now else pen.palette.ink
        pen.words(area.x, y + font // 3, f"player {player}", pen.palette.faint, size.small)
        pen.right(area.right, y, f"{view.scores.get(player, 0):,}", colour, font)
        y += font + font // 3
    return y


def _lit(pen: Pen, area: pygame.Rect, scene: Scene) -> int:
    """The lamps that are lit, by name, a click on one shows what lit it; returns the y below."""
    size = pen.size
    y = pen.heading(area.x, area.y, area.width, "Lit now")
    places = columns(area, LEAST * size.usual, size.gap)
    high = (area.bottom - y) // size.line
    names = [name for name, pattern in scene.machine.view.lamps.items() if pattern]
    for at, name in enumerate(names[: high * len(places)]):
        place = places[at % len(places)]
        row = pygame.Rect(place.x, y + at // len(places) * size.line, place.width, size.line)
        x = draw_dot(pen, row, scene, name)
        pen.fitted(x, row.y, row.right - x, name)
        scene.hits.add(row, "lamp", name)
    return y + -(-min(len(names), high * len(places)) // len(places)) * size.line


def _rules(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """What the lit lamps are for, those that blink first."""
    lamps = scene.machine.view.lamps
    lit = sorted((name for name in lamps if lamps[name]), key=lambda name: lamps[name] < SLOW)
    draw_rules(pen, area, "What the lit inserts are for", rules_of(scene, lit))


def _awards(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """The last awards, newest first; a click on one shows its cause."""
    y = pen.heading(area.x, area.y, area.width, "Last awards")
    line = pen.size.line
    for award in list(scene.recent.awards)[::-1][: max(0, (area.bottom - y) // line)]:
        name = award.name if award.times == 1 else f"{award.name}, {award.times} times"
        pen.pair(area.x, y, area.width, name, award_words(award), pen.palette.ink)
        scene.hits.add(pygame.Rect(area.x, y, area.width, line), "event", str(award.at))
        y += line
    if not scene.recent.awards:
        pen.words(area.x, y, "none yet", pen.palette.faint)
