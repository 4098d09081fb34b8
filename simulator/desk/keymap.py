"""The key map: a game's keys from its host/keys.py, and the desk's own."""

from collections.abc import Iterable
from dataclasses import dataclass

import pygame

from simulator.tables import Tables

DESK = "desk"
DESK_KEYS = (
    ("p", DESK, "pause", "pause, go on"),
    (".", DESK, "step", "single step"),
    ("-", DESK, "slower", "slower"),
    ("=", DESK, "faster", "faster"),
    ("m", DESK, "sound", "sounds on, off"),
    ("k", DESK, "chart", "chart on, off"),
    ("[", DESK, "chart_before", "chart before"),
    ("]", DESK, "chart_after", "chart after"),
    ("left", DESK, "nudge.left", "nudge left"),
    ("up", DESK, "nudge.up", "nudge ahead"),
    ("right", DESK, "nudge.right", "nudge right"),
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
    """One key: `kind` is "switch", "latch", "shot" or "desk"; `name` is the switch, shot or desk function."""

    key: str
    kind: str
    name: str
    label: str

    @property
    def cap(self) -> str:
        """The text on the drawn key."""
        return SHORT.get(self.key, self.key.upper() if len(self.key) == 1 else self.key)


@dataclass(frozen=True)
class Group:
    """Keys under one heading."""

    heading: str
    keys: tuple[tuple[str, str, str, str], ...]


class KeyMap:
    """Every key with its function. Raises GameError: unknown key, switch or shot, or a key used twice."""

    def __init__(self, module: object, switches: Iterable[str], shots: Iterable[str]) -> None:
        pygame.display.init()  # key names are known only then
        self._tables = tables = Tables(module)
        groups = [
            (
                group.heading,
                [tables.row(f"keys '{group.heading}'", n, row, Key) for n, row in enumerate(group.keys, 1)],
            )
            for group in tables.rows("KEYS", Group)
        ]
        self.groups = [*groups, ("the desk", [Key(*row) for row in DESK_KEYS])]
        self._codes: dict[int, Key] = {}
        contacts = tuple(switches)
        allowed = {"switch": contacts, "latch": contacts, "shot": tuple(shots)}
        for _, keys in self.groups:
            for key in keys:
                self._add(key, allowed)

    def __getitem__(self, code: int) -> Key | None:
        """The key with this pygame key code; None when it has no function."""
        return self._codes.get(code)

    def _add(self, key: Key, allowed: dict[str, tuple[str, ...]]) -> None:
        if key.kind != DESK:
            if key.kind not in allowed:
                self._tables.refuse(f"key '{key.key}' is a '{key.kind}'; switch, latch or shot is allowed")
            self._tables.require(f"key '{key.key}'", key.name, allowed[key.kind])
        try:
            code = pygame.key.key_code(key.key)
        except ValueError:
            self._tables.refuse(f"there is no key '{key.key}'")
        if code in self._codes:
            self._tables.refuse(f"key '{key.key}' is used twice: {self._codes[code].label}, {key.label}")
        self._codes[code] = key
