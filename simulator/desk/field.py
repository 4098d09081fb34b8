"""The playfield's picture: its drawing, the general light, lamps, mechanisms, flashers, balls."""

from collections.abc import Collection, Hashable

import pygame

from simulator.desk.background import draw_background
from simulator.desk.balls import Balls
from simulator.desk.glow import Glow
from simulator.desk.inserts import Inserts
from simulator.desk.machine import DeskMachine
from simulator.desk.mechanisms import Mechanisms
from simulator.desk.palette import DARK, Palette
from simulator.desk.recent import Recent
from simulator.desk.trails import Trails
from simulator.desk.warmth import Warmth
from simulator.drawing.colours import WHITE, blend
from simulator.drawing.drawing import Drawing
from simulator.drawing.parts import Part

STEPS = 16  # of the general light
DIM = 0.42  # what is left of the playfield without general light
SETTLES_MS = 400  # after the last change a mechanism's picture is still for certain
LEAP_MS = 1000  # after a longer step, or one back, the general light is at once as it should be
LIGHT_A_MS = 0.2  # of 100: it takes half a second to change
MANY = 2  # balls out, with which the general light goes down and each ball shines
MANY_LIGHT = 55  # of 100
FLASH_REACH = 110  # mm
FLASH = 0.55


class Field:
    """One drawing at `scale` pixels a mm; `leds`: lamps that follow at once."""

    def __init__(
        self, drawing: Drawing, scale: float, palette: Palette = DARK, leds: Collection[str] = ()
    ) -> None:
        self._drawing = drawing
        self._scale = scale
        self._palette = palette
        wide, high = drawing.size
        self._surface = pygame.Surface((round(wide * scale), round(high * scale)))
        self._inserts = Inserts(drawing, scale, palette)
        self._mechanisms = Mechanisms(drawing, scale)
        self._balls = Balls(drawing, scale)
        self.warmth = Warmth(leds)
        self._flashes = Warmth()
        self._glows = {one.coil: self._flash_glow(one.parts) for one in drawing.flashers}
        self._trails = Trails(scale)
        self._ground = _opaque(draw_background(drawing, scale), palette.lift)
        self._grounds: dict[int, pygame.Surface] = {}
        self._below = {one.coil for one in drawing.bumpers} | {one.coil for one in drawing.slings}
        self._still: Hashable = None
        self._changed_at = 0
        self._light = 100.0
        self._light_at = 0

    @property
    def is_changing(self) -> bool:
        """Whether a lamp warms or cools."""
        return self.warmth.is_changing or self._flashes.is_changing

    @property
    def calm(self) -> bool:
        """Whether lamps change slowly and flashers light nothing but themselves."""
        return self.warmth.is_calm

    @calm.setter
    def calm(self, wanted: bool) -> None:
        self.warmth.is_calm = self._flashes.is_calm = wanted

    def forget(self) -> None:
        """Draw again the next time."""
        self._still = None

    def draw(self, surface: pygame.Surface, area: pygame.Rect, machine: DeskMachine, recent: Recent) -> bool:
        """Draw the playfield into `area` unless it is as before; whether it was drawn."""
        now = machine.now
        self.warmth.follow(machine.view.lamps, now)
        self._flashes.drive({coil: recent.is_on(coil, now) for coil in self._glows}, now)
        light = self._general(machine)
        balls = tuple(self._balls.position(ball, now) for ball in machine.balls)
        lamps = (tuple(self.warmth.levels.values()), tuple(self._flashes.levels.values()), light)
        shows = (lamps, balls, len(machine.view.history), tuple(machine.view.switches.values()))
        if shows != self._still:
            self._still, self._changed_at = shows, now
        elif not 0 < now - self._changed_at <= SETTLES_MS:
            return False
        self._draw(machine, recent, light)
        surface.blit(self._surface, area)
        pygame.draw.rect(surface, self._palette.edge, area, 2, border_radius=4)
        return True

    def _draw(self, machine: DeskMachine, recent: Recent, light: int) -> None:
        now, field = machine.now, self._surface
        field.blit(self._grounds.get(light) or self._made_ground(light), (0, 0))
        if any(recent.fired_lately(coil, now) for coil in self._below):
            self._mechanisms.draw_below(field, recent, now)
            self._inserts.draw_dark(field)
        self._inserts.draw(field, self.warmth.levels)
        self._mechanisms.draw(field, machine.view, recent, now)
        self._draw_flashes(field)
        if self._is_many(machine):
            out = [ball for ball in machine.balls if ball.place == "playfield"]
            places = [(ball.number, self._balls.position(ball, now)) for ball in out]
            self._trails.draw(field, places, now)
        self._balls.draw(field, machine.balls, now)

    def _draw_flashes(self, field: pygame.Surface) -> None:
        if self.calm:
            return
        for one in self._drawing.flashers:
            level = self._flashes.levels[one.coil]
            if level:
                self._glows[one.coil].add(field, *self._pixel(one.x, one.y), level)

    def _pixel(self, x: float, y: float) -> tuple[int, int]:
        return round(x * self._scale), round(y * self._scale)

    def _general(self, machine: DeskMachine) -> int:
        """The step of the general light, from 0 to STEPS."""
        goal = machine.inside.light()
        if self._is_many(machine):
            goal = goal * MANY_LIGHT // 100
        passed = machine.now - self._light_at
        self._light_at = machine.now
        if 0 <= passed < LEAP_MS:
            most = passed * LIGHT_A_MS
            self._light += max(-most, min(most, goal - self._light))
        else:
            self._light = goal
        return round(self._light * STEPS / 100)

    @staticmethod
    def _is_many(machine: DeskMachine) -> bool:
        return sum(ball.place == "playfield" for ball in machine.balls) >= MANY

    def _made_ground(self, light: int) -> pygame.Surface:
        """The playfield at rest, all lamps dark, in this much general light."""
        ground = self._ground.copy()
        self._mechanisms.draw_below_at_rest(ground)
        self._inserts.draw_dark(ground)
        share = DIM + (1 - DIM) * light / STEPS
        ground.fill([round(255 * share)] * 3, special_flags=pygame.BLEND_RGB_MULT)
        self._grounds[light] = ground
        return ground

    def _flash_glow(self, parts: tuple[Part, ...]) -> Glow:
        fills = [part.style.fill for part in parts if part.style.fill]
        colour = blend(fills[0] if fills else WHITE, WHITE, 0.4)
        return Glow(colour, round(FLASH_REACH * self._scale), FLASH)


def _opaque(image: pygame.Surface, lift: int) -> pygame.Surface:
    """The image as an opaque one, which is quicker to copy; each channel is lifted by `lift`."""
    surface = pygame.Surface(image.get_size())
    surface.blit(image, (0, 0))
    surface.fill([lift] * 3, special_flags=pygame.BLEND_RGB_ADD)
    return surface
