"""The desk's window on the screen, and pictures without a screen."""

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pygame

from firmware.base.errors import UsageError
from simulator.desk.arrange import SIZE as ARRANGED
from simulator.desk.arrange import Arranger
from simulator.desk.desk import Desk
from simulator.desk.layout import USUAL

FRAMES = 60  # a second
IDLE_MS = 50  # from picture to picture while no ball is out
REST_MS = 500  # how long the window waits for an event while the time is stopped
ANSWERS_MS = 300  # the window system's answer to a change of size is there after so long
SETTLES_MS = 120  # after the window's size changed: it is drawn anew when it is still for so long
PICTURE = "inlane-{}.png"


def has_screen() -> bool:
    """Whether this system has a screen that a window can open on."""
    if os.environ.get("SDL_VIDEODRIVER"):
        return os.environ["SDL_VIDEODRIVER"] not in ("dummy", "offscreen")
    return not sys.platform.startswith("linux") or any(
        os.environ.get(n) for n in ("DISPLAY", "WAYLAND_DISPLAY")
    )


def use_headless() -> None:
    """Make pygame draw without a screen and play without a loudspeaker from here on."""
    os.environ["SDL_VIDEODRIVER"] = "dummy"
    os.environ["SDL_AUDIODRIVER"] = "dummy"


def open_window(title: str, size: tuple[int, int] = (0, 0)) -> pygame.Surface:
    """Open a window of this size, or of the usual one. Raises UsageError when that fails."""
    os.environ.setdefault("SDL_WINDOWS_DPI_AWARENESS", "permonitorv2")  # its own pixels, not enlarged ones
    os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")  # only what changed is copied to the screen
    try:
        pygame.display.init()
        screen = (pygame.display.get_desktop_sizes() or [USUAL])[0]
        wanted = size if size[0] else (min(USUAL[0], screen[0]), min(USUAL[1], screen[1]))
        surface = pygame.display.set_mode(wanted, pygame.RESIZABLE)
    except pygame.error as error:
        raise UsageError(f"no window can be opened here: {error}") from error
    pygame.display.set_caption(title)
    return surface


def open_arranger(title: str) -> pygame.Surface:
    """Open a window for an arranger, which has one size. Raises UsageError when that fails."""
    open_window(title)
    return pygame.display.set_mode(ARRANGED, pygame.SCALED | pygame.RESIZABLE)


def arrange(arranger: Arranger, surface: pygame.Surface) -> None:
    """Show the window of an arranger until the user leaves."""
    clock = pygame.time.Clock()
    try:
        while arranger.step(pygame.event.get()):
            arranger.draw(surface)
            pygame.display.flip()
            clock.tick(FRAMES)
    finally:
        pygame.display.quit()


def close() -> None:
    """Close the window."""
    pygame.display.quit()


def save_picture(desk: Desk, path: Path, size: tuple[int, int] = (0, 0)) -> None:
    """Save the desk as it is now as PNG. Raises UsageError: not a .png name, or not writable."""
    if path.suffix.lower() != ".png":
        raise UsageError(f"a picture's name ends in .png, not '{path.name}'")
    try:
        pygame.image.save(desk.screenshot(size), str(path))
    except (pygame.error, OSError) as error:
        raise UsageError(f"the picture cannot be written: {error}", str(path)) from error


def free_name(pattern: str, folder: Path) -> Path:
    """The first path in the folder that is not taken: `pattern` with a number from 1."""
    number = 1
    while (folder / pattern.format(number)).exists():
        number += 1
    return folder / pattern.format(number)


def run(desk: Desk, stays: Callable[[], bool] = lambda: True) -> None:
    """Play frames in the open window until the player leaves, or `stays` says no."""
    frames = Frames(desk)
    try:
        while frames.play() and stays():
            pass
    finally:
        pygame.display.quit()


class Frames:
    """The desk in the open window, a frame at a time; it waits where nothing changes."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._clock = pygame.time.Clock()
        self._at = pygame.time.get_ticks()
        self._is_full = False
        self._resized_at: int | None = None
        self._windowed = USUAL
        self._left_full_at: int | None = None

    def play(self) -> bool:
        """Wait until the next frame is due, play and draw it; False once the player leaves."""
        events = self._events()
        for event in events:
            if event.type == pygame.VIDEORESIZE:
                self._resized_at = pygame.time.get_ticks()
            elif event.type in (pygame.WINDOWEXPOSED, pygame.WINDOWRESTORED):
                self.desk.picture.forget()
        desk = self.desk
        now = pygame.time.get_ticks()
        passed, self._at = now - self._at, now
        if not desk.step(passed, events):
            return False
        self._serve()
        if not self._is_resizing():
            drawn = desk.draw(pygame.display.get_surface())
            if drawn:
                pygame.display.update(drawn)
        return True

    def _events(self) -> list[pygame.event.Event]:
        """What happened, after a wait as long as nothing on the picture changes."""
        desk = self.desk
        if self._is_resizing():
            wait = SETTLES_MS // 2
        elif desk.is_resting():
            wait = REST_MS
        elif desk.is_idle():
            wait = IDLE_MS
        else:
            self._clock.tick(FRAMES)
            return pygame.event.get()
        first = pygame.event.wait(wait)
        found = [] if first.type == pygame.NOEVENT else [first]
        return found + pygame.event.get()

    def _is_resizing(self) -> bool:
        if self._resized_at is not None and pygame.time.get_ticks() - self._resized_at > SETTLES_MS:
            self._resized_at = None
        return self._resized_at is not None

    def _serve(self) -> None:
        """Do for the desk what only the window can."""
        desk = self.desk
        self._restore()
        if desk.wants_full != self._is_full:
            self._turn_full(desk.wants_full)
        if desk.picture_wanted:
            desk.picture_wanted = False
            path = free_name(PICTURE, Path.cwd())
            try:
                save_picture(desk, path, pygame.display.get_surface().get_size())
            except UsageError as error:
                desk.message = f"! {error.text}"
            else:
                desk.message = f"picture saved: {path}"

    def _turn_full(self, full: bool) -> None:
        """Fill the screen, or go back to the window as it was."""
        if full:
            self._windowed = pygame.display.get_surface().get_size()
            pygame.display.set_mode((0, 0), pygame.FULLSCREEN)
        else:
            pygame.display.set_mode(self._windowed, pygame.RESIZABLE)
            self._left_full_at = pygame.time.get_ticks()
        self._is_full = full
        self.desk.picture.forget()

    def _restore(self) -> None:
        """Once the window system has answered: give the window its size again where it kept the screen's."""
        if self._left_full_at is None or pygame.time.get_ticks() - self._left_full_at < ANSWERS_MS:
            return
        self._left_full_at = None
        if not self._is_full and pygame.display.get_window_size() != self._windowed:
            pygame.display.set_mode(self._windowed, pygame.RESIZABLE)
            self.desk.picture.forget()
