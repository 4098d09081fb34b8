"""The cabinet as the player pushes it: nudges, the bob they set swinging, and the tilt contact."""

from simulator.drawing.geometry import Point
from simulator.scheduler import Contacts
from simulator.table.bob import Bob, Nudge

STILL: Point = (0.0, 0.0)
MS = 0.001


class Shaking:
    """Nudges under way and the bob. `switch`: the bob's contact, "" for none."""

    def __init__(self, contacts: Contacts, switch: str) -> None:
        self.bob = Bob()
        self._contacts = contacts
        self._switch = switch
        self._nudges: list[Nudge] = []
        self._closed = False

    @property
    def is_moving(self) -> bool:
        """Whether cabinet or bob move."""
        return bool(self._nudges) or not self.bob.is_still

    def push(self, direction: str) -> None:
        """Begin a nudge: "left", "right" or "up"."""
        self._nudges.append(Nudge(direction))

    def step(self) -> Point:
        """Let a millisecond pass; returns the cabinet's acceleration (mm/s²)."""
        if not self.is_moving:
            return STILL
        pushes = [(nudge, nudge.step(MS)) for nudge in self._nudges]
        self._nudges = [nudge for nudge, push in pushes if push is not None]
        sizes = [push for _, push in pushes if push is not None]
        cabinet = (sum(x for x, _ in sizes), sum(y for _, y in sizes))
        self.bob.step(MS, cabinet)
        self._contact()
        return cabinet

    def _contact(self) -> None:
        if not self._switch or self.bob.is_closed == self._closed:
            return
        self._closed = self.bob.is_closed
        if self._closed:
            self._contacts.press(self._switch)
        else:
            self._contacts.release(self._switch)
