"""The desk: turns keys and mouse into contacts and shots, wall time into virtual time, and draws it all."""

from collections.abc import Iterable, Sequence

import pygame

from firmware.base.errors import ScriptError
from simulator.desk.charts import ChartViewer, Diagram
from simulator.desk.displays import TWO_LINES, Size
from simulator.desk.files import UNWATCHED, FilesReport
from simulator.desk.functions import FUNCTIONS
from simulator.desk.hands import Hands
from simulator.desk.idle import IdleBall
from simulator.desk.keymap import Key, KeyMap
from simulator.desk.layout import USUAL
from simulator.desk.machine import DeskMachine, Past
from simulator.desk.mouse import Mouse
from simulator.desk.pace import Pace
from simulator.desk.palette import DARK, Palette
from simulator.desk.panels.scene import Scene
from simulator.desk.picture import Picture, Told
from simulator.desk.recent import Recent
from simulator.desk.sounds import Sounds
from simulator.desk.timeline import Timeline
from simulator.drawing.drawing import Drawing

WELCOME = "enter starts a game, space plunges, ? shows every key"
PLAYING = "point at an insert to see what it is for; ? shows every key"


class Desk:
    """One machine at the desk. `step` plays one frame; events and time are its arguments.

    `past`: the machine's recorded time, when it can go back.
    """

    def __init__(
        self,
        machine: DeskMachine,
        drawing: Drawing,
        keymap: KeyMap,
        sounds: Sounds | None = None,
        diagrams: Sequence[Diagram] = (),
        displays: Sequence[Size] = TWO_LINES,
        past: Past | None = None,
    ) -> None:
        self.machine = machine
        self.past = past
        self.pace = Pace()
        self.recent = Recent()
        self.sounds = sounds or Sounds()
        self.charts = ChartViewer(diagrams, machine.inside.own)
        self.timeline = Timeline(past)
        self.hands = Hands(machine)
        self.keymap = keymap
        self.flippers = list(dict.fromkeys(one.button for one in drawing.machine.flippers))
        self.message = WELCOME
        self.files: FilesReport = UNWATCHED
        self.panel = "game"
        self.page = 0
        self.palette = DARK
        self.is_open = True
        self.wants_full = False  # the window is to be the whole screen
        self.picture_wanted = False
        self._drawing = drawing
        self._displays = displays
        self._idle = IdleBall(drawing)
        self.mouse = Mouse(self, drawing)
        self.picture = self._made(USUAL)

    # Frames

    def step(self, wall_ms: int, events: Iterable[pygame.event.Event]) -> bool:
        """Handle the events and let `wall_ms` pass; False once the player leaves."""
        for event in events:
            self._answer(event)
        wanted_ms = self.mouse.take_wanted()
        if wanted_ms is not None:
            self.go_to(wanted_ms)
        self.run(self.pace.virtual_ms(wall_ms))
        if self.past is not None:
            self.past.tend(self.pace.paused or self.is_idle())
        return self.is_open

    def draw(self, surface: pygame.Surface) -> list[pygame.Rect]:
        """Draw what changed on a surface of any size from layout.LEAST up; which rectangles."""
        size = surface.get_size()
        if self.picture.made_for != size:
            self.picture = self._made(size)
        told = Told(self.mouse.pointed or self._message(), self.pace.words, self.panel, self.is_idle())
        return self.picture.draw(surface, self._scene(), told)

    def screenshot(self, size: tuple[int, int] = (0, 0)) -> pygame.Surface:
        """A new surface with the desk as it is now, of this size or as large as the window."""
        surface = pygame.Surface(size if size[0] else self.picture.layout.size)
        self.look()
        self.picture.forget()
        self.draw(surface)
        self.picture.forget()
        return surface

    def is_resting(self) -> bool:
        """Whether nothing on the picture changes until the next event: the time is stopped."""
        return self.pace.paused and not self.picture.field.is_changing

    def is_idle(self) -> bool:
        """Whether no ball is out, so that a few pictures a second are enough."""
        return all(ball.place != "playfield" for ball in self.machine.balls) and not self.hands.is_busy

    def use(self, palette: Palette) -> None:
        """Draw in this palette from now on."""
        self.palette = palette
        calm = self.picture.field.calm
        self.picture = self._made(self.picture.made_for)
        self.picture.field.calm = calm

    def run(self, ms: int) -> None:
        """Let `ms` of virtual time pass."""
        if ms:
            self.hands.run_to(self.machine.now + ms)
        self.look()

    def look(self) -> None:
        """Take note of what is new, and sound it."""
        for cue in self.recent.update(self.machine.view):
            self.sounds.play(cue)
        for coil in self.recent.fired:
            self.sounds.strike(coil)
        remark = self._idle.remark(self.machine)
        if remark:
            self.message = remark

    def go_to(self, ms: int) -> None:
        """Be at another recorded time, and stop there."""
        if self.past is None:
            self.message = "! this machine cannot go back in time"
            return
        self.pace.paused = True
        self.past.go_to(ms)
        self.hands.forget()
        self.recent = Recent()
        self.recent.update(self.machine.view)
        self.charts.forget()
        ahead = (self.past.latest - self.past.now) / 1000
        self.message = "P goes on"
        if ahead > 0:
            self.message = f"{ahead:.1f} s back: P plays on as it was; a key or a click makes it otherwise"

    def report(self, files: FilesReport) -> None:
        """Something happened to the game's files; what is bad stops the time and is shown."""
        self.files = files
        self.message = f"{'! ' * files.is_bad}{files.title}: {files.where or files.words}"
        if files.is_bad:
            self.pace.paused = True
            self.show("files")

    def take_over(self, other: "Desk") -> None:
        """Look as another desk did, which this one takes the place of; no contact is held by hand."""
        self.pace = other.pace
        if other.sounds.is_on:
            self.sounds.toggle()
        self.wants_full = other.wants_full
        self.files = other.files
        self.show(other.panel)
        self.palette = other.palette
        self.picture = self._made(other.picture.made_for)
        self.picture.field.calm = other.picture.field.calm
        self.recent.update(self.machine.view)

    def show(self, panel: str) -> None:
        """Show this panel beside the playfield."""
        self.panel = panel
        self.page = 0

    def explain(self, at: int) -> None:
        """Show the chart row that made the event at this place of the history."""
        cause = self.machine.inside.cause(at)
        self.message = cause.words
        if cause.row >= 0 and self.charts.names():
            self.charts.point_at(cause.row)
            self.show("charts")

    def _message(self) -> str:
        """What was last said to the player; how to start only as long as no game is on."""
        return PLAYING if self.message == WELCOME and self.machine.view.playing else self.message

    def _made(self, size: tuple[int, int]) -> Picture:
        leds = tuple(self.machine.inside.leds)
        return Picture(self._drawing, size, self.timeline, leds, self._displays, self.palette)

    def _scene(self) -> Scene:
        colours = self._drawing.machine.lamps
        hits = self.picture.hits
        return Scene(
            self.machine, self.recent, self.keymap, self.charts, hits, colours, self.page, self.files
        )

    # What the player does

    def act(self) -> None:
        """The player does something now: what was recorded after this time no longer happens."""
        if self.past is not None and self.past.latest > self.past.now:
            latches = {key.name for _, keys in self.keymap.groups for key in keys if key.kind == "latch"}
            closed = self.past.closed()
            self.past.cut()
            self.hands.take_over(closed, latches)

    def _answer(self, event: pygame.event.Event) -> None:
        if event.type == pygame.QUIT:
            self.is_open = False
        elif event.type in (pygame.KEYDOWN, pygame.KEYUP):
            self._key_event(event)
        else:
            self.mouse.answer(event)

    def _key_event(self, event: pygame.event.Event) -> None:
        down = event.type == pygame.KEYDOWN
        key = self.keymap[event.key]
        if down and getattr(event, "unicode", "") == "?":
            key = self.keymap.desk_key("help")
        if key is not None:
            self._key(key, down)

    def _key(self, key: Key, down: bool) -> None:
        if key.kind == "switch":
            self._switch_key(key, down)
        elif key.kind == "shot":
            self._shot_key(key, down)
        elif down and key.kind == "latch":
            self.act()
            self.hands.toggle_latch(key.name)
            state = "on" if self.hands.is_held(key.name) else "off"
            self.message = f"{key.label}: contact {key.name} {state}"
        elif down:
            name, _, detail = key.name.partition(".")
            FUNCTIONS[name](self, detail)

    def _switch_key(self, key: Key, down: bool) -> None:
        if down:
            self.act()
            self.hands.press(key.name)
            self.message = f"{key.label}: contact {key.name}"
        else:
            self.hands.release(key.name)

    def _shot_key(self, key: Key, down: bool) -> None:
        if not down:
            self.machine.end_shot(key.name)
            return
        self.act()
        try:
            self.machine.shoot(key.name)
        except ScriptError as error:
            self.message = f"! {error.text}"
        else:
            self.message = f"{key.label}: let go to shoot" if self.machine.rolls else f"shot: {key.label}"
