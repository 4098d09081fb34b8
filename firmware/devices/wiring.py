"""What devices and boards need of a game's wiring. For type checkers: at run time it is empty."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    from firmware.play.interfaces import CoilRow, FlipperRow, LampRow, ReflexRow, SwitchRow

    class Wiring(Protocol):
        """The part of WiringTables that coils, reflexes and boards work with."""

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
        """The tables of the balls as well."""

        @property
        def TROUGH(self) -> tuple[str, ...]:
            """Switches of the trough, in the order in which balls fill it."""

        @property
        def BALLS(self) -> int:
            """How many balls the machine has."""
