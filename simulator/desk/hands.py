"""The player's hands on the contacts: what is held, and taps that end when they have been read."""

from simulator.desk.machine import DeskMachine


class Hands:
    """A contact stays closed at least as long as its debounce needs, however short the key press."""

    def __init__(self, machine: DeskMachine) -> None:
        self._machine = machine
        self._since: dict[str, int] = {}
        self._ends: dict[str, int] = {}
        self._latched: set[str] = set()

    def is_held(self, switch: str) -> bool:
        return switch in self._since

    def press(self, switch: str) -> None:
        """Close a contact now; pressing again keeps it closed."""
        self._ends.pop(switch, None)
        if switch not in self._since:
            self._since[switch] = self._machine.now
            self._machine.switch(switch, True)

    def release(self, switch: str) -> None:
        """Open it now, or as soon as it has been read."""
        if switch in self._latched or switch not in self._since:
            return
        self._ends[switch] = max(self._machine.now, self._since[switch] + self._machine.tap_ms(switch))
        self._open_due()

    def toggle_latch(self, switch: str) -> None:
        """Close it for good, or let a latched one go."""
        if switch in self._latched:
            self._latched.remove(switch)
            self.release(switch)
        else:
            self._latched.add(switch)
            self.press(switch)

    def run_to(self, until_ms: int) -> None:
        """Let the machine run, opening contacts on the way when their time is over."""
        while self._ends and min(self._ends.values()) <= until_ms:
            self._machine.run_to(min(self._ends.values()))
            self._open_due()
        self._machine.run_to(until_ms)

    def next_due(self) -> int | None:
        """When the next tap ends; None: none is under way."""
        return min(self._ends.values()) if self._ends else None

    def _open_due(self) -> None:
        for switch in [name for name, end in self._ends.items() if end <= self._machine.now]:
            del self._ends[switch]
            del self._since[switch]
            self._machine.switch(switch, False)
