"""When the plant's actions run, and which contacts the balls hold closed."""

import heapq
from collections.abc import Callable

Action = Callable[[int], None]


class Scheduler:
    """Actions by due time in ms; those due in the same millisecond run in the order they were scheduled."""

    def __init__(self) -> None:
        self._heap: list[tuple[int, int, Action]] = []
        self._scheduled = 0

    def schedule(self, ms: int, action: Action) -> None:
        """Call `action(ms)` when virtual time reaches `ms`."""
        heapq.heappush(self._heap, (ms, self._scheduled, action))
        self._scheduled += 1

    def next_due(self) -> int | None:
        """When (ms) the next action is due; None when nothing is scheduled."""
        return self._heap[0][0] if self._heap else None

    def run_until(self, until_ms: int) -> None:
        """Run every action that is due by `until_ms`."""
        while self._heap and self._heap[0][0] <= until_ms:
            ms, _, action = heapq.heappop(self._heap)
            action(ms)


class Contacts:
    """Switches that balls hold down: closed while at least one ball does. The name "" means no switch."""

    def __init__(self) -> None:
        self._holders: dict[str, int] = {}
        self._changes: list[tuple[str, bool]] = []

    def press(self, switch: str) -> None:
        """One more ball holds the switch down."""
        holders = self._holders.get(switch, 0)
        self._holders[switch] = holders + 1
        if holders == 0 and switch:
            self._changes.append((switch, True))

    def release(self, switch: str) -> None:
        """One ball fewer does. Raises AssertionError when none did."""
        holders = self._holders.get(switch, 0)
        if holders == 0:
            raise AssertionError(f"plant: '{switch}' released by a ball that did not hold it")
        self._holders[switch] = holders - 1
        if holders == 1 and switch:
            self._changes.append((switch, False))

    def is_closed(self, switch: str) -> bool:
        """Whether a ball holds the switch down."""
        return self._holders.get(switch, 0) > 0

    def take_changes(self) -> list[tuple[str, bool]]:
        """The changes since the last call, in order."""
        changes, self._changes = self._changes, []
        return changes
