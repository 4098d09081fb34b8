"""Edges that found a scan's ring full: reported, and the switches set right again."""

from firmware.devices.native import scanner


class LostEdges:
    """Watches a scan's state for lost edges, for one console."""

    def __init__(self, cells: "array[int]") -> None:
        self._cells = cells
        self._counted = cells[scanner.RING_LOST]
        self._wrong = False  # a switch may stand otherwise than its contact

    def update(self, console: "EdgeTaker") -> None:
        """Report new losses; once no edge waits any more, set right what the lost ones left wrong."""
        cells = self._cells
        lost = cells[scanner.RING_LOST]
        if lost != self._counted:
            console.edges_lost += lost - self._counted
            console.play.faults.report("edges_lost", 0, lost - self._counted)
            self._counted = lost
            self._wrong = True
        if self._wrong and not cells[scanner.RING_HELD]:
            self._wrong = not self._set_right(console)

    def _set_right(self, console: "EdgeTaker") -> bool:
        """Whether each switch's debounced state could be set to its contact's."""
        cells = self._cells
        done = True
        for contact in range(scanner.CONTACTS):
            switch = cells[scanner.SWITCH + contact]
            if switch >= 0:
                closed = cells[scanner.STILL + (contact >> 4)] >> (contact & 15) & 1
                done = console.settled(switch, closed) and done
        return done


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array
    from typing import Protocol

    from firmware.play.faults import Faults

    class Playing(Protocol):
        """The playfield of a console."""

        faults: Faults

    class EdgeTaker(Protocol):
        """What is used of firmware.console.Console, which stands above this folder."""

        edges_lost: int

        @property
        def play(self) -> Playing:
            """Its playfield."""

        def settled(self, switch: int, closed: int) -> bool:
            """Take a debounced state; False while the last one is not taken yet."""
