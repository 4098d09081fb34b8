"""Advances a target's time, applies its records to the view, and lets the plant react to its coils.

The same for every target. In lock-step the target runs from one contact change of the plant to the next
and stops after every COIL record, so the plant reacts in the following millisecond at the earliest.
"""

import hashlib
from collections.abc import Callable
from typing import Protocol

from firmware.base.errors import LinkError
from firmware.base.trace import COIL
from hil.bench.contact_log import ContactChange
from hil.bench.targets.target import MachineStopped, Target
from hil.bench.view import View

LOOK_MS = 20  # the interval at which a wait checks its condition
MOST_STANDSTILLS = 200


class Plant(Protocol):
    """The simulated balls and mechanisms (simulator.plant.Plant)."""

    @property
    def lost(self) -> int:
        """How many balls are in no place or in two: 0 unless the plant itself is wrong."""

    @property
    def home(self) -> str:
        """The place that every ball is in at first."""

    def start(self, now_ms: int) -> None:
        """Put every ball in its first place; the contacts close at `now_ms`."""

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """React to a COIL record: pulse in ms, −1 held on, 0 off."""

    def shoot(self, shot: str, at_ms: int, **options: int) -> None:
        """Start a shot with a waiting ball. Raises ScriptError: no such shot, option or ball."""

    def due(self) -> int | None:
        """When (ms) the plant next has something to do; None: nothing."""

    def take(self, at_ms: int) -> list[tuple[str, bool]]:
        """Run the plant to `at_ms` and return its contact changes in order: (switch, closed)."""

    def places(self) -> dict[str, int]:
        """How many balls are in each place."""

    def rolling(self, place: str) -> int:
        """How many balls in a place have not come to rest there."""

    def moving(self) -> int:
        """How many balls are on their way, so that no shot can be made with them."""


class OutOfTime(Exception):
    """The script reached its limit of simulated time."""


class RunClock:
    """One target with its plant. `now` is ms since its start."""

    def __init__(self, target: Target, view: View, plant: Plant | None, limit_ms: int) -> None:
        self.target = target
        self.view = view
        self.plant = plant
        self.limit_ms = limit_ms
        self.now = 0
        self.contact_changes: list[ContactChange] = []
        self.contact_changed_ms = 0  # when a contact last changed
        self.count = 0
        self.watchers: list[Callable[[], None]] = []  # called after each millisecond that has records
        self._sha = hashlib.sha256()
        self._sha_since_on = hashlib.sha256()
        self._closed: set[str] = set()
        self._is_on = False
        self._ids = {name: ident for ident, name in enumerate(view.names.switches)}
        self._contact_changed = False
        self._standstills = 0

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start a fresh console at time 0, with the balls at rest."""
        self.target.start(seed, settings)
        self._is_on = True
        if self.plant is not None:
            self.plant.start(0)
            self._answer()

    def contact(self, switch: str, closed: bool) -> None:
        """Change a contact now."""
        if closed:
            self._closed.add(switch)
        else:
            self._closed.discard(switch)
        self.contact_changes.append(ContactChange(self.now, switch, closed))
        if self._is_on:
            self.target.contact(self._ids[switch], closed)
        self.contact_changed_ms = self.now
        self._contact_changed = True

    def go_on_as(self, view: View, begun: bytes) -> None:
        """The target is a changed game from here on, which recorded `begun` before it took over."""
        self.view = view
        self._sha_since_on = hashlib.sha256(begun)

    def power_off(self) -> None:
        """Switch the machine off now. Balls roll on, coils are off. Raises LinkError."""
        self._end_period()
        self._is_on = False
        for name, coil in self.view.coils.items():
            if self.plant is not None and coil.value < 0:
                self.plant.coil(name, 0, self.now)
        self.view.power_off(self.now)

    def power_on(self, seed: int) -> None:
        """Switch it on again, with the contacts as they are and what it has kept. Raises LinkError."""
        self.view.power_on(self.now)
        self._sha_since_on = hashlib.sha256()
        self.target.start(seed, {})
        self._is_on = True
        for switch in sorted(self._closed, key=self._ids.__getitem__):
            self.target.contact(self._ids[switch], True)
        self._advance(self.now + 1)  # what it does at once is sent with its first millisecond

    def run_to(self, until_ms: int, stop: Callable[[], bool] | None = None) -> None:
        """Run to `until_ms`, or until `stop()`, which is called every LOOK_MS at least.

        Raises OutOfTime, LinkError.
        """
        if until_ms > self.limit_ms:
            until_ms = self.limit_ms + 1
        while self.now < until_ms:
            self._advance(self._goal(until_ms, stop is not None))
            if stop is not None and stop():
                return
        if self.now > self.limit_ms:
            raise OutOfTime

    def fetch_records(self) -> None:
        """Fetch the target's new records: hash them, apply them to the view, pass coils to the plant."""
        data = self.target.records() if self._is_on else b""
        if not data:
            return
        self._sha.update(data)
        self._sha_since_on.update(data)
        records = self.view.fold(data, self._watch)
        self.count += len(records)
        if self.plant is not None:
            for record in records:
                if record.kind == COIL:
                    self.plant.coil(self.view.names.coils[record.id], record.value, record.ms)

    def finish(self) -> str:
        """End the trace; the hash of all of it in hex. Raises LinkError when the target's own is another."""
        if self._is_on:
            self._end_period()
        return self._sha.hexdigest()

    def _end_period(self) -> None:
        """End the trace since the machine was switched on. Raises LinkError when its own hash is another."""
        self.fetch_records()
        reported = self.target.finish()
        self.fetch_records()
        digest = self._sha_since_on.digest()
        if reported != digest:
            raise LinkError(
                f"the machine says its trace hash is {reported.hex()[:16]}…, "
                f"the records received make it {digest.hex()[:16]}…"
            )

    def _watch(self) -> None:
        for watcher in self.watchers:
            watcher()

    def _goal(self, until_ms: int, looking: bool) -> int:
        goal = until_ms
        if looking:
            goal = min(goal, self.now + LOOK_MS)
        if self._contact_changed:
            # A reflex may have answered the contact: fetch that before more time passes.
            goal = min(goal, self.now + 1)
        due = self.plant.due() if self.plant is not None else None
        return goal if due is None else min(goal, max(due, self.now + 1))

    def _advance(self, goal: int) -> None:
        reached = self._advance_target(goal) if self._is_on else goal
        if reached < self.now:
            raise LinkError(f"the machine's time goes back: {self.now} ms, then {reached} ms")
        before = self.count
        self.fetch_records()
        if self.view.now_ms > reached:
            raise LinkError(f"the machine is at {reached} ms and sends a record of {self.view.now_ms} ms")
        self._standstills = 0 if reached > self.now else self._standstills + 1
        if self._standstills > MOST_STANDSTILLS or (reached == self.now and self.count == before):
            raise LinkError(f"the machine's time stands still at {reached} ms")
        self._contact_changed = False
        self.now = reached
        self._answer()

    def _advance_target(self, goal: int) -> int:
        """Advance the machine; the time reached. After an error `now` is when it stopped, or the goal."""
        on_since = self.view.on_since_ms
        try:
            return self.target.advance(goal - on_since) + on_since
        except MachineStopped as stop:
            self.now = goal if stop.at_ms is None else stop.at_ms + on_since
            raise

    def _answer(self) -> None:
        if self.plant is None:
            return
        due = self.plant.due()
        while due is not None and due <= self.now:
            for switch, closed in self.plant.take(self.now):
                self.contact(switch, closed)
            due = self.plant.due()
