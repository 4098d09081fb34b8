"""The desk's window on the screen, and pictures without a screen."""

import os
import sys
from pathlib import Path

import pygame

from firmware.base.errors import UsageError
from simulator.desk.arrange import Arranger
from simulator.desk.desk import Desk
from simulator.desk.picture import SIZE

FRAMES = 60  # a second


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


def open_window(title: str) -> pygame.Surface:
    """Open a window. Raises UsageError when that fails."""
    try:
        pygame.display.init()
        surface = pygame.display.set_mode(SIZE, pygame.SCALED | pygame.RESIZABLE)
    except pygame.error as error:
        raise UsageError(f"no window can be opened here: {error}") from error
    pygame.display.set_caption(title)
    return surface


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


def save_picture(desk: Desk, path: Path) -> None:
    """Save the desk as it is now as PNG. Raises UsageError: not a .png name, or not writable."""
    if path.suffix.lower() != ".png":
        raise UsageError(f"a picture's name ends in .png, not '{path.name}'")
    try:
        pygame.image.save(desk.screenshot(), str(path))
    except (pygame.error, OSError) as error:
        raise UsageError(f"the picture cannot be written: {error}", str(path)) from error


def run(desk: Desk, surface: pygame.Surface) -> None:
    """Play frames until the player leaves."""
    clock = pygame.time.Clock()
    try:
        while desk.step(clock.tick(FRAMES), pygame.event.get()):
            desk.draw(surface)
            pygame.display.flip()
    finally:
        pygame.display.quit()
