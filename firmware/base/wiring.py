"""Types of a game's wiring module: the rows of its tables. No firmware imports it at run time.

It is left out of a board's image (hil.image.staging), as MicroPython has no `typing`.
"""

from typing import Protocol

SwitchRow = tuple[str, str, str, int, int]
"""Name, debounce class, zone, row and column (row 0: direct input number `column`)."""
LampRow = tuple[str, str, int, int]
"""Name, colour, row and column (row 0: place `column` on the LED chain)."""
CoilRow = tuple[str, str, int, int, int, int]
"""Name, class, pulse ms (-1: held), longest on-time ms (0: no limit), rest ms, drive number from 1."""
ReflexRow = tuple[str, str, int, int]
"""Switch, coil, pulse ms, lockout ms."""
FlipperRow = tuple[str, str, str, str, int]
"""Button, end-of-stroke switch, strong coil, hold coil, longest strong pulse in ms."""
HeatRow = tuple[str, int, int, int]
"""Coil, milliamperes while on, budget in ms of on-time, percent of on-time that it bears for ever."""


class Wiring(Protocol):
    """The tables that every wiring module has. HEAT, SUPPLY_MA and COIL_VOLTS_LOW_MV are optional."""

    @property
    def SWITCHES(self) -> tuple[SwitchRow, ...]:
        """All switches; a switch's id is its place here."""

    @property
    def LAMPS(self) -> tuple[LampRow, ...]:
        """All lamps; a lamp's id is its place here."""

    @property
    def COILS(self) -> tuple[CoilRow, ...]:
        """All coils; a coil's id is its place here."""

    @property
    def REFLEXES(self) -> tuple[ReflexRow, ...]:
        """Switches that fire a coil without the rules."""

    @property
    def FLIPPERS(self) -> tuple[FlipperRow, ...]:
        """Flippers, worked by their buttons."""


class BallWiring(Wiring, Protocol):
    """A wiring module with the tables of the balls as well, as every game has them."""

    @property
    def TROUGH(self) -> tuple[str, ...]:
        """Switches of the trough, in the order in which balls fill it."""

    @property
    def BALLS(self) -> int:
        """How many balls the machine has."""
