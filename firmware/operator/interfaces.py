"""What the pages need of the layers above them. For type checkers: no firmware imports it at run time.

It is left out of a board's image (hil.build.staging), as MicroPython has no `typing`.
"""

from collections.abc import Callable
from typing import Protocol

from firmware.base.crash import Crash
from firmware.base.trace import Trace
from firmware.board import Board
from firmware.charts.events import Events
from firmware.devices.coils import Coils
from firmware.play.interfaces import ServiceTables
from firmware.play.pages import Page
from firmware.play.requests import Cue
from firmware.play.rule_context import Clock, RuleContext


class PadConsole(Protocol):
    """The console, as pad and pages see it."""

    now: int
    play: RuleContext
    board: Board
    coils: Coils
    trace: Trace
    zones: bytearray

    @property
    def events(self) -> Events:
        """The names of all events, by number."""

    def settings_changed(self) -> None:
        """The operator changed a setting."""


class PagePad(Protocol):
    """The service pad, as the pages see it."""

    console: PadConsole
    game: str
    safe: bool
    ended: Crash | None
    waiting: Callable[[], None] | None
    service: Callable[[], ServiceTables]
    screen: Page
    ticker: Clock
    moved: Cue
    refused: Cue
    heard: Cue
    door: int
    key: int

    def is_door_open(self) -> bool:
        """Whether the coin door is open."""

    def is_key_on(self) -> bool:
        """Whether the keyed service switch is on."""

    def button(self, switch: int) -> int:
        """Which button of the pad `switch` is; negative for any other switch."""

    def close(self) -> None:
        """Leave the pages."""

    def acknowledge(self) -> None:
        """The error was read."""
