"""What a board must offer the console. This class is also the board that drives nothing."""


class Board:
    """Outputs of one machine; lock-step runs use it unchanged.

    Coil, lamp and cue numbers are positions in the game's wiring table. A board reads its own
    clock and contacts and hands them to the console; nothing here is called from an interrupt.
    A board that runs coil limits and reflexes by its own clock offers them as `limiter`, an object with the
    methods of `firmware.devices.coil_limiter.CoilLimiter`; pulse, hold and release then drive nothing and
    only report what that limiter did.
    """

    limiter: "Any" = None  # Any: its class lies in a layer above this one
    reason = ""  # the first reason given to `all_off`; not empty: everything stays off until the next start
    files_digest: bytes = (
        b""  # SHA-256 of what the board runs, for the operator; empty when not known, or a bench asks
    )

    def enable(self, on: bool) -> None:
        """Coil enable: off by default and on every fault."""

    def pulse(self, coil: int, ms: int) -> None:
        """Drive `coil` for `ms` milliseconds; the board ends the pulse by its own clock."""

    def hold(self, coil: int) -> None:
        """Drive `coil` until `release`."""

    def release(self, coil: int) -> None:
        """Stop driving `coil` now."""

    def refused(self, coil: int, reason: int) -> None:
        """The limiter refused `coil`; `reason` is one of `firmware.devices.native.limiter`."""

    def lamp(self, lamp: int, pattern: int) -> None:
        """Show `pattern`, a number of firmware.play.claims, on `lamp`; the board times the blinking."""

    def text(self, chunk: int, cells: int) -> None:
        """Show three display cells: `chunk` says which, `cells` has nine bits each, as in a TEXT record."""

    def cue(self, cue: int) -> None:
        """Play sound number `cue`."""

    def volume(self, steps: int) -> None:
        """Set how loud sounds are: 0 (silent) to 10."""

    def brightness(self, percent: int) -> None:
        """Set how bright lamps and displays are, in percent."""

    def all_off(self, reason: str) -> None:
        """Switch everything off at once. Cannot fail; only the first reason is recorded."""


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
