"""What a device can run. The board makes one, or anything of this shape, and hands it to the link."""

from firmware.board import Board

RECORDS = 96  # of a device's trace: the link takes records out after every step


class Machine:
    """What a device can run: one game. The board hands one in."""

    name = ""
    switches = 0
    settings: "tuple[str, ...]" = ()  # their names
    ended = ""  # the error that ended the device's program before this start, in a sentence

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """SHA-256 over the nonce and the device's own files."""
        raise NotImplementedError

    def console(self, seed: int, settings: "dict[str, int]", board: Board) -> "Console":
        """A fresh console at time 0."""
        raise NotImplementedError

    def board(self) -> Board:
        """Outputs that really drive, all of them off."""
        raise NotImplementedError

    def alive(self) -> None:
        """Called between the steps of a long way: a board's watchdog may not be so patient."""

    def contacts_refused(self) -> str:
        """Why no contact may come over the line in real time, "" when it may; asked again at each tick.

        A contact leads to coils: a board whose coils could fire refuses it.
        """
        return ""

    def is_settled(self) -> bool:
        """Whether a run in real time may begin: the board knows its own switches."""
        return True

    def playing(self) -> "Console | None":
        """The console that plays by itself, without a host; None when none does."""
        return None

    def give_way(self) -> None:
        """A host takes over: what plays by itself ends, everything off."""

    def recognise(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """As `identify`, for a host that only looks: it takes no longer than a game in play bears."""
        return self.identify(nonce)

    def sensed(self) -> "tuple[int, ...]":
        """The numbers of frames.SENSED, or none of them."""
        return ()

    def explain(self, error: Exception) -> str:
        """What the firmware raised, in one line; a board that can tell the place says it too."""
        return f"{type(error).__name__}: {error}"


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.console import Console
