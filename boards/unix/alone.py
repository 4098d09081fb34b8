"""A game that plays by itself, by the wall clock, until a host takes over; a file says what hands do to it.

Each line of the file is a contact: `MS SWITCH 1` closes it, `MS SWITCH 0` opens it, times from the start on.
"""

from boards.unix.pins import PinBoard, clock_ms
from firmware.base import ticks
from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean
from firmware.play import rows


class Hands:
    """What hands do to the switches of a machine. Raises UsageError for a line that is none."""

    def __init__(self, file: str, wiring: "Wiring") -> None:
        self._at = 0
        self._changes: list[tuple[int, int, int]] = []
        names = rows.names(wiring.SWITCHES)
        try:
            with open(file) as lines:
                for number, line in enumerate(lines, 1):
                    if line.strip():
                        self._changes.append(_change(line.split(), names, file + ":" + str(number)))
        except OSError:
            raise UsageError("the file '" + file + "' cannot be read")

    def turn(self, console: "Console", now_ms: int) -> None:
        """Do what is due."""
        while self._at < len(self._changes) and self._changes[self._at][0] <= now_ms:
            ms, switch, closed = self._changes[self._at]
            console.run_to(ms)
            console.contact(switch, closed)
            self._at += 1


def _change(words: "list[str]", names: "tuple[str, ...]", where: str) -> "tuple[int, int, int]":
    if len(words) != 3 or not words[0].isdigit() or words[2] not in ("0", "1"):
        raise UsageError(
            where + ": a contact is 'MS SWITCH 1' or 'MS SWITCH 0', not '" + " ".join(words) + "'"
        )
    if words[1] not in names:
        raise UsageError(
            where + ": there is no switch '" + words[1] + "'" + did_you_mean(words[1], list(names))
        )
    return int(words[0]), names.index(words[1]), int(words[2])


class Alone:
    """One game and its pins."""

    def __init__(self, console: "Console", pins: PinBoard, hands: "Hands | None") -> None:
        self.console = console
        self.pins = pins
        self._hands = hands
        self._began = clock_ms()
        self.console.engine.plays_on = True
        pins.enable(True)

    def turn(self) -> None:
        """Let the game catch up with the clock."""
        now_ms = ticks.diff(clock_ms(), self._began)
        if self._hands:
            self._hands.turn(self.console, now_ms)
        self.console.run_to(now_ms)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.console import Console
    from firmware.devices.wiring import Wiring
