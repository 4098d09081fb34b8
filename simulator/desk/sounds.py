"""Short synthesised tones, one figure for each cue, or for each chime."""

import math
from array import array
from collections.abc import Iterable, Iterator
from typing import Protocol

import pygame

RATE = 22_050  # samples a second
LOUD = 7_000  # the largest sample, of 32,767
FADE_MS = 12
PARTIALS = ((1, 1.0, 0.7), (2, 0.5, 1.4), (3, 0.28, 2.4), (4.02, 0.12, 4.0))
"""A tone's partials: times its pitch, strength, how fast it dies away; the last is a little out of tune."""
USUAL = ((523, 60), (659, 60))


Figure = tuple[tuple[int, int], ...]
"""Tones of (Hz, ms) one after another; 0 Hz is silence."""


class ToneTables(Protocol):
    """A game's host/tones.py: the figure of each cue. CHIMES, where it has them: of each chime coil."""

    TONES: Iterable[tuple[str, Figure]]


def wave(figure: Figure) -> "array[int]":
    """Samples for tones of (Hz, ms) one after another, each struck and dying away; 0 Hz is silence."""
    samples: array[int] = array("h")
    for hertz, ms in figure:
        samples.extend(_tone(hertz, RATE * ms // 1000))
    return samples


def _tone(hertz: int, count: int) -> Iterator[int]:
    """So many samples of one tone: its partials, each weaker by e in its own share of the length."""
    fade = max(1, RATE * FADE_MS // 1000)
    whole = sum(strength for _, strength, _ in PARTIALS)
    turn = 2 * math.pi * hertz / RATE
    for n in range(count):
        edge = min(1.0, n / fade, (count - n) / fade)
        gone = n / count
        value = sum(
            strength * math.exp(-gone * fall) * math.sin(turn * times * n)
            for times, strength, fall in PARTIALS
        )
        yield round(LOUD * edge * value / whole)


class Sounds:
    """Plays cues while it is on."""

    def __init__(self, tones: ToneTables | None = None) -> None:
        self.is_on = False
        self._figures = {} if tones is None else dict(tones.TONES)
        self._chimes: dict[str, Figure] = dict(getattr(tones, "CHIMES", ()))
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
        """Play the tones of a cue, if sounds are on; of a game with chimes its strokes are heard instead."""
        if cue in self._figures or not self._chimes:
            self._sound(cue, self._figures.get(cue, USUAL))

    def strike(self, coil: str) -> None:
        """Play a chime whose coil fired, if sounds are on; no other coil is heard."""
        if coil in self._chimes:
            self._sound(coil, self._chimes[coil])

    def _sound(self, name: str, figure: Figure) -> None:
        if not self.is_on:
            return
        if name not in self._made:
            self._made[name] = pygame.mixer.Sound(buffer=wave(figure))
        self._made[name].play()
