"""The contacts that the player closes by key or mouse, and when they open again."""

from collections.abc import Iterable

from simulator.desk.machine import DeskMachine


class Hands:
    """Closes and opens contacts for the player; each stays closed as long as its debounce needs,
    however short the key press.
    """

    def __init__(self, machine: DeskMachine) -> None:
        self._machine = machine
        self._since: dict[str, int] = {}
        self._ends: dict[str, int] = {}
        self._latched: set[str] = set()

    def is_held(self, switch: str) -> bool:
        """Whether the player's hand keeps this contact closed."""
        return switch in self._since

    def is_latched(self, switch: str) -> bool:
        """Whether this contact stays closed without a hand."""
        return switch in self._latched

    @property
    def is_busy(self) -> bool:
        """Whether a contact is held that is not latched."""
        return any(switch not in self._latched for switch in self._since)

    def press(self, switch: str) -> None:
        """Close a contact now; a release that is still due is cancelled."""
        self._ends.pop(switch, None)
        if switch not in self._since:
            self._since[switch] = self._machine.now
            self._machine.switch(switch, True)

    def release(self, switch: str) -> None:
        """Open a contact now, or once it was closed long enough to be read. A latched one stays closed."""
        if switch in self._latched or switch not in self._since:
            return
        self._ends[switch] = max(self._machine.now, self._since[switch] + self._machine.tap_ms(switch))
        self._open_due()

    def toggle_latch(self, switch: str) -> None:
        """Latch a contact closed, or release a latched one."""
        if switch in self._latched:
            self._latched.remove(switch)
            self.release(switch)
        else:
            self._latched.add(switch)
            self.press(switch)

    def forget(self) -> None:
        """The machine is at another time: no contact is held by hand."""
        self._since.clear()
        self._ends.clear()
        self._latched.clear()

    def take_over(self, closed: Iterable[str], latches: Iterable[str]) -> None:
        """Take over contacts that a recorded hand holds closed: latches stay closed, the others open."""
        kept = set(latches)
        for switch in closed:
            self._since[switch] = self._machine.now
            if switch in kept:
                self._latched.add(switch)
            else:
                self.release(switch)

    def run_to(self, until_ms: int) -> None:
        """Run the machine to `until_ms`, opening contacts on the way when they are due."""
        while self._ends and min(self._ends.values()) <= until_ms:
            self._machine.run_to(min(self._ends.values()))
            self._open_due()
        self._machine.run_to(until_ms)

    def next_due(self) -> int | None:
        """When (ms) the next contact opens; None: none is due."""
        return min(self._ends.values()) if self._ends else None

    def _open_due(self) -> None:
        for switch in [name for name, end in self._ends.items() if end <= self._machine.now]:
            del self._ends[switch]
            del self._since[switch]
            self._machine.switch(switch, False)
