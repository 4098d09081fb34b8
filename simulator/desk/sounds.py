"""Short synthesised tones, one figure for each cue."""

import math
from array import array
from collections.abc import Iterable
from typing import Protocol

import pygame

RATE = 22_050
LOUD = 7_000
FADE_MS = 12
USUAL = ((523, 60), (659, 60))


Figure = tuple[tuple[int, int], ...]
"""Tones of (Hz, ms) one after another; 0 Hz is silence."""


class ToneTables(Protocol):
    """A game's host/tones.py: the figure of each cue."""

    TONES: Iterable[tuple[str, Figure]]


def wave(figure: Figure) -> "array[int]":
    """Samples for tones of (Hz, ms) one after another, each faded in and out; 0 Hz is silence."""
    samples: array[int] = array("h")
    for hertz, ms in figure:
        count = RATE * ms // 1000
        fade = max(1, RATE * FADE_MS // 1000)
        for n in range(count):
            part = min(1.0, n / fade, (count - n) / fade)
            turn = 2 * math.pi * hertz * n / RATE
            samples.append(round(LOUD * part * (math.sin(turn) + 0.25 * math.sin(2 * turn)) / 1.25))
    return samples


class Sounds:
    """Plays cues while it is on."""

    def __init__(self, tones: ToneTables | None = None) -> None:
        self.is_on = False
        self._figures = {} if tones is None else dict(tones.TONES)
        self._made: dict[str, pygame.mixer.Sound] = {}

    def toggle(self) -> str:
        """Switch sounds on or off; returns a sentence for the player, which begins with ! on failure."""
        if self.is_on:
            self.is_on = False
            return "sounds off"
        try:
            if not pygame.mixer.get_init():
                pygame.mixer.init(RATE, -16, 1)
        except pygame.error as error:
            return f"! no sound here: {error}"
        self.is_on = True
        return "sounds on"

    def play(self, cue: str) -> None:
        """Play the tones of a cue, if sounds are on."""
        if not self.is_on:
            return
        if cue not in self._made:
            self._made[cue] = pygame.mixer.Sound(buffer=wave(self._figures.get(cue, USUAL)))
        self._made[cue].play()
