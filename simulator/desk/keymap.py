"""The key map: a game's keys from its host/keys.py, and the desk's own."""

from collections.abc import Iterable
from dataclasses import dataclass

import pygame

from simulator.tables import Tables

DESK = "desk"
DESK_KEYS = (
    ("f1", DESK, "help", "help (also ?)"),
    ("f2", DESK, "panel", "next panel"),
    ("f3", DESK, "panel_before", "panel before"),
    ("k", DESK, "chart", "charts, and back"),
    ("[", DESK, "chart_before", "chart, page before"),
    ("]", DESK, "chart_after", "next chart, page"),
    ("p", DESK, "pause", "pause, go on"),
    (".", DESK, "step", "next event"),
    (",", DESK, "step_back", "event before"),
    ("page up", DESK, "back", "5 s back"),
    ("page down", DESK, "on", "5 s on again"),
    ("home", DESK, "begin", "script begins here"),
    (";", DESK, "script", "script up to here"),
    ("-", DESK, "slower", "slower"),
    ("=", DESK, "faster", "faster"),
    ("'", DESK, "cradle", "hold the ball"),
    ("m", DESK, "sound", "sounds on, off"),
    ("f10", DESK, "palette", "other colours"),
    ("\\", DESK, "calm", "calm light on, off"),
    ("f11", DESK, "full", "full screen, window"),
    ("f12", DESK, "picture", "save a picture"),
    ("left", DESK, "nudge.left", "nudge left"),
    ("up", DESK, "nudge.up", "nudge ahead"),
    ("right", DESK, "nudge.right", "nudge right"),
    ("escape", DESK, "leave", "game, leave"),
)
SHORT = {
    "left shift": "L shift",
    "right shift": "R shift",
    "left ctrl": "L ctrl",
    "right ctrl": "R ctrl",
    "return": "enter",
    "backspace": "back",
    "escape": "esc",
    "page up": "page up",
    "page down": "page dn",
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

    def desk_key(self, name: str) -> Key:
        """The key of a function of the desk."""
        return next(key for key in self.groups[-1][1] if key.name == name)

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
