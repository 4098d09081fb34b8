"""The keyboard: a game's keys from its host/keys.py, and the desk's own."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pygame

from firmware.base.errors import GameError
from simulator.routes import near

DESK = "desk"
DESK_KEYS = (
    ("p", DESK, "pause", "pause, go on"),
    (".", DESK, "step", "single step"),
    ("-", DESK, "slower", "slower"),
    ("=", DESK, "faster", "faster"),
    ("m", DESK, "sound", "sounds on, off"),
    ("escape", DESK, "leave", "leave"),
)
SHORT = {
    "left shift": "L shift",
    "right shift": "R shift",
    "left ctrl": "L ctrl",
    "right ctrl": "R ctrl",
    "return": "enter",
    "backspace": "back",
    "escape": "esc",
}


@dataclass(frozen=True)
class Key:
    """One key: `kind` is "switch", "shot" or "desk", `name` what it acts on."""

    key: str
    kind: str
    name: str
    label: str

    @property
    def cap(self) -> str:
        """What stands on the drawn key."""
        return SHORT.get(self.key, self.key.upper() if len(self.key) == 1 else self.key)


class KeyMap:
    """Which key does what. Raises GameError: unknown key, switch or shot, or a key used twice."""

    def __init__(self, module: Any, switches: Iterable[str], shots: Iterable[str]) -> None:
        pygame.display.init()  # key names are known only then
        self._file = str(getattr(module, "__file__", None) or module.__name__)
        groups = [(heading, [Key(*row) for row in rows]) for heading, rows in module.KEYS]
        self.groups = [*groups, ("the desk", [Key(*row) for row in DESK_KEYS])]
        self._codes: dict[int, Key] = {}
        allowed = {"switch": tuple(switches), "shot": tuple(shots)}
        for _, keys in self.groups:
            for key in keys:
                self._add(key, allowed)

    def __getitem__(self, code: int) -> Key | None:
        """What the key with pygame's number does; None: nothing."""
        return self._codes.get(code)

    def _add(self, key: Key, allowed: dict[str, tuple[str, ...]]) -> None:
        if key.kind != DESK:
            names = allowed.get(key.kind)
            if names is None:
                raise GameError(f"key '{key.key}' is a '{key.kind}'; switch or shot is allowed", self._file)
            if key.name not in names:
                sentence = f"key '{key.key}' names the {key.kind} '{key.name}', which is not there"
                raise GameError(sentence + near(key.name, names), self._file)
        try:
            code = pygame.key.key_code(key.key)
        except ValueError:
            raise GameError(f"there is no key '{key.key}'", self._file) from None
        if code in self._codes:
            raise GameError(
                f"key '{key.key}' is used twice: {self._codes[code].label}, {key.label}", self._file
            )
        self._codes[code] = key
