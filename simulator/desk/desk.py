"""The desk: turns keys and mouse into contacts and shots, wall time into virtual time, and draws it all."""

import math
from collections.abc import Iterable, Sequence

import pygame

from firmware.base.errors import ScriptError
from simulator.desk.charts import ChartViewer, Diagram
from simulator.desk.displays import TWO_LINES, Size
from simulator.desk.hands import Hands
from simulator.desk.keymap import Key, KeyMap
from simulator.desk.machine import DeskMachine
from simulator.desk.pace import Pace
from simulator.desk.picture import SIZE, Picture
from simulator.desk.recent import Recent
from simulator.desk.sounds import Sounds
from simulator.desk.states import state_rects
from simulator.drawing.drawing import Drawing

REACH = 22  # mm around a mark within which a click counts as a click on it
LONGEST_STEP_MS = 1000
LEFT_BUTTON, RIGHT_BUTTON = 1, 3
CHART = "K goes back, [ and ] or a click on a state show another chart; shots are played as before"
WELCOME = "enter starts a game, space plunges, click a contact to close it (right click: keeps it closed)"


class Desk:
    """One machine at the desk. `step` plays one frame; events and time are its arguments."""

    def __init__(
        self,
        machine: DeskMachine,
        drawing: Drawing,
        keymap: KeyMap,
        switches: Sequence[str],
        coils: Sequence[str],
        sounds: Sounds | None = None,
        diagrams: Sequence[Diagram] = (),
        displays: Sequence[Size] = TWO_LINES,
    ) -> None:
        self.machine = machine
        self.pace = Pace()
        self.recent = Recent()
        self.sounds = sounds or Sounds()
        self.charts = ChartViewer(diagrams)
        self.picture = Picture(drawing, keymap, switches, coils, self.charts, displays)
        self.message = WELCOME
        self._drawing = drawing
        self._keymap = keymap
        self._hands = Hands(machine)
        self._clicked: str | None = None
        self._open = True

    def step(self, wall_ms: int, events: Iterable[pygame.event.Event]) -> bool:
        """Handle the events and let `wall_ms` pass; False once the player leaves."""
        for event in events:
            self._answer(event)
        self._run(self.pace.virtual_ms(wall_ms))
        return self._open

    def draw(self, surface: pygame.Surface) -> None:
        """Draw the desk as it is now on a surface of SIZE."""
        self.picture.draw(surface, self.machine, self.recent, self.pace.words, self.message)

    def screenshot(self) -> pygame.Surface:
        """A new surface with the desk as it is now."""
        surface = pygame.Surface(SIZE)
        self._look()
        self.draw(surface)
        return surface

    def switch_at(self, x: int, y: int) -> str | None:
        """The switch that a click on this pixel means: its chip, else the nearest mark within REACH mm."""
        chip = None if self.charts.shown else self.picture.chips.at(x, y)
        if chip or not self.picture.field.collidepoint(x, y):
            return chip
        u = (x - self.picture.field.x) / self.picture.scale
        v = (y - self.picture.field.y) / self.picture.scale
        near = [
            (math.dist((u, v), at), name) for name, at in self._targets() if math.dist((u, v), at) <= REACH
        ]
        return min(near)[1] if near else None

    def _targets(self) -> list[tuple[str, tuple[float, float]]]:
        drawing = self._drawing
        known = drawing.placed_switches()
        found = [(mark.switch, (mark.x, mark.y)) for mark in drawing.marks]
        found += [(bumper.switch, (bumper.x, bumper.y)) for bumper in drawing.bumpers]
        found += [(sling.switch, drawing.points[sling.switch]) for sling in drawing.slings]
        return found + [(i.lamp, (i.x, i.y)) for i in drawing.inserts if i.lamp in known]

    def _answer(self, event: pygame.event.Event) -> None:
        if event.type == pygame.QUIT:
            self._open = False
        elif event.type in (pygame.KEYDOWN, pygame.KEYUP):
            key = self._keymap[event.key]
            if key is not None:
                self._key(key, event.type == pygame.KEYDOWN)
        elif event.type == pygame.MOUSEBUTTONDOWN:
            self._click(event.pos, event.button)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == LEFT_BUTTON and self._clicked:
            self._hands.release(self._clicked)
            self._clicked = None

    def _key(self, key: Key, down: bool) -> None:
        if key.kind == "switch":
            if down:
                self._hands.press(key.name)
                self.message = f"{key.label}: contact {key.name}"
            else:
                self._hands.release(key.name)
        elif down and key.kind == "latch":
            self._hands.toggle_latch(key.name)
            self.message = (
                f"{key.label}: contact {key.name} {'on' if self._hands.is_held(key.name) else 'off'}"
            )
        elif key.kind == "shot":
            self._shoot(key, down)
        elif down:
            self._desk_key(key.name)

    def _shoot(self, key: Key, down: bool) -> None:
        if not down:
            self.machine.end_shot(key.name)
            return
        try:
            self.machine.shoot(key.name)
        except ScriptError as error:
            self.message = f"! {error.text}"
        else:
            self.message = f"shot: {key.label}"

    def _desk_key(self, name: str) -> None:
        if name == "pause":
            self.pace.paused = not self.pace.paused
        elif name == "slower":
            self.pace.slower()
        elif name == "faster":
            self.pace.faster()
        elif name == "step":
            self._single_step()
        elif name == "sound":
            self.message = self.sounds.toggle()
        elif name.startswith("chart"):
            self._chart(name)
        elif name.startswith("nudge."):
            self._nudge(name.removeprefix("nudge."))
        elif name == "leave":
            self._open = False

    def _nudge(self, direction: str) -> None:
        try:
            self.machine.nudge(direction)
        except ScriptError as error:
            self.message = f"! {error.text}"

    def _chart(self, name: str) -> None:
        charts = self.charts
        if not charts.names():
            self.message = "! this machine has no charts"
        elif name == "chart":
            charts.shown = not charts.shown
            self.message = CHART if charts.shown else WELCOME
        else:
            charts.choose_next(1 if name == "chart_after" else -1)
            self.message = CHART

    def _single_step(self) -> None:
        """Run to the next due action, at most LONGEST_STEP_MS on, and pause."""
        self.pace.paused = True
        now = self.machine.now
        dues = [due for due in (self.machine.next_due(), self._hands.next_due()) if due is not None]
        self._run(min(max(min(dues, default=now), now + 1), now + LONGEST_STEP_MS) - now)
        self.message = f"one step of {self.machine.now - now} ms"

    def _click(self, at: tuple[int, int], button: int) -> None:
        switch = self.switch_at(*at)
        if switch is None:
            self._click_state(at)
            return
        if button == LEFT_BUTTON:
            self._hands.press(switch)
            self._clicked = switch
        elif button == RIGHT_BUTTON:
            self._hands.toggle_latch(switch)
        self.message = f"contact {switch}"

    def _click_state(self, at: tuple[int, int]) -> None:
        for region, rect in state_rects(self.picture.states, self.machine.view).items():
            if rect.collidepoint(at) and region in self.charts.names():
                self.charts.choose(region)
                self.message = CHART

    def _run(self, ms: int) -> None:
        if ms:
            self._hands.run_to(self.machine.now + ms)
        self._look()

    def _look(self) -> None:
        for cue in self.recent.update(self.machine.view):
            self.sounds.play(cue)
        for coil in self.recent.fired:
            self.sounds.strike(coil)
