"""A board's contact scan as one object: `native.scanner` on the state of one machine's switches."""

from array import array

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from firmware.devices.native import scanner as n
from firmware.devices.switches import class_times

DIRECT = 64  # contacts of the matrix; the others are direct inputs
ROWS = 8


def build(switches: "tuple[SwitchRow, ...]", inverted: "tuple[str, ...]" = ()) -> "array[int]":
    """The scan's state. Raises GameError for a place that the matrix does not have.

    `inverted`: names of opto switches, which open for a ball.
    """
    s = array("i", [0] * n.SIZE)
    for contact in range(n.CONTACTS):
        s[n.SWITCH + contact] = -1
    for i in range(len(switches)):
        name, kind, _zone, row, column = switches[i]
        contact = place(name, row, column)
        if s[n.SWITCH + contact] >= 0:
            raise GameError(f"switches '{switches[s[n.SWITCH + contact]][0]}' and '{name}' share one place")
        s[n.SWITCH + contact] = i
        s[n.CLOSE_MS + contact], s[n.OPEN_MS + contact] = class_times(kind, name)
        if name in inverted:
            s[n.INVERTED + (contact >> 4)] |= 1 << (contact & 15)
    names = [row[0] for row in switches]
    for name in inverted:
        if name not in names:
            raise GameError(f"INVERTED names '{name}', which is not wired{did_you_mean(name, names)}")
    return s


def place(name: str, row: int, column: int) -> int:
    """Contact number of a wired place; row 0 stands for the direct inputs."""
    if row == 0 and 1 <= column <= n.CONTACTS - DIRECT:
        return DIRECT + column - 1
    if 1 <= row <= ROWS and 1 <= column <= DIRECT // ROWS:
        return (column - 1) * ROWS + row - 1
    raise GameError(
        f"switch '{name}' is wired to row {row}, column {column}; the matrix has 8 × 8, direct 16"
    )


class Scan:
    """Contacts of one machine; what they do at once goes to `limiter`, edges wait in a ring."""

    def __init__(
        self, switches: "tuple[SwitchRow, ...]", limiter: "CoilLimiter", inverted: "tuple[str, ...]" = ()
    ) -> None:
        self.state = build(switches, inverted)
        self.limiter = limiter
        self._groups = array("i", [0] * (2 * n.GROUPS))

    def step(self, one: "Sequence[int]", two: "Sequence[int]", now: int) -> None:
        """One millisecond: two samples of the five groups, from two scans in a row."""
        for group in range(n.GROUPS):
            self._groups[group] = one[group]
            self._groups[n.GROUPS + group] = two[group]
        self.limiter.tick(now)
        for i in range(n.scan(self.state, self._groups, now)):
            change = self.state[n.AT_CHANGES + i]
            self.limiter.contact(change >> 1, change & 1, now)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from firmware.devices.coil_limiter import CoilLimiter
    from firmware.play.interfaces import SwitchRow
