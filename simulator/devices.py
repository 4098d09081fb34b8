"""Mechanisms that hold balls (troughs, shooter lanes, scoops) and drop targets."""

from simulator.ball import Ball
from simulator.routes import DeviceRow, DropTargetRow
from simulator.scheduler import Contacts, Scheduler

RETRY = 40  # ms between two attempts of a ball to enter a full device
HOP = 180  # ms in the air when a pulse was too weak to throw a ball out


class BallDevice:
    """Slots in a row from the exit up: balls roll to the lowest free slot and leave from the first."""

    def __init__(self, row: DeviceRow, scheduler: Scheduler, contacts: Contacts) -> None:
        self.row = row
        self.slots: list[Ball | None] = [None] * len(row.switches)
        self._settled = [False] * len(row.switches)
        self._leaving = False
        self._scheduler = scheduler
        self._contacts = contacts

    def point(self, slot: int) -> str:
        """The point of the drawing for a slot: its switch, else the device and the slot's number from 1."""
        return self.row.switches[slot] or f"{self.row.name}.{slot + 1}"

    def place_ball(self, ball: Ball, slot: int, now_ms: int) -> None:
        """Put a ball at rest into a slot and close its switch."""
        self.slots[slot] = ball
        self._settled[slot] = True
        ball.settle(self.row.name, self.point(slot), now_ms)
        self._contacts.press(self.row.switches[slot])

    def is_full(self) -> bool:
        """Whether no slot is free."""
        return all(ball is not None for ball in self.slots)

    def accept(self, ball: Ball, now_ms: int) -> bool:
        """Let a ball in at the top slot; False while that is taken."""
        top = len(self.slots) - 1
        if self.slots[top] is not None:
            return False
        self.place_ball(ball, top, now_ms)
        self._plan_roll(top, now_ms)
        return True

    def rolling(self) -> int:
        """How many of its balls roll to a lower slot, or are about to."""
        return sum(
            ball is not None and (not self._settled[slot] or (slot > 0 and self.slots[slot - 1] is None))
            for slot, ball in enumerate(self.slots)
        )

    def ready_ball(self) -> Ball | None:
        """The ball at rest at the exit; None when there is none or when it is reserved."""
        return self.slots[0] if self._settled[0] and not self._leaving else None

    def reserve(self) -> None:
        """Reserve the ball at the exit, so that nothing else sends it off."""
        self._leaving = True

    def release_ball(self, now_ms: int) -> Ball:
        """Send the ball at the exit out; the others roll down."""
        ball = self.slots[0]
        if ball is None:
            raise AssertionError(f"plant: no ball to release in '{self.row.name}'")
        self._clear(0, now_ms)
        self._leaving = False
        return ball

    def start_hop(self, now_ms: int) -> None:
        """A pulse that failed: the ball jumps off its switch and falls back HOP ms later."""
        self._leaving = True
        self._contacts.release(self.row.switches[0])
        self._scheduler.schedule(now_ms + HOP, self._fall_back)

    def _fall_back(self, now_ms: int) -> None:
        self._contacts.press(self.row.switches[0])
        self._leaving = False

    def _clear(self, slot: int, now_ms: int) -> None:
        self._contacts.release(self.row.switches[slot])
        self.slots[slot] = None
        self._settled[slot] = False
        if slot + 1 < len(self.slots):
            self._plan_roll(slot + 1, now_ms)

    def _plan_roll(self, slot: int, now_ms: int) -> None:
        self._scheduler.schedule(now_ms + self.row.passing, lambda ms: self._roll(slot, ms))

    def _roll(self, slot: int, now_ms: int) -> None:
        """Start rolling to the next slot down if that is free."""
        ball = self.slots[slot]
        if slot == 0 or ball is None or not self._settled[slot] or self.slots[slot - 1] is not None:
            return
        self.slots[slot - 1] = ball
        ball.travel(self.point(slot - 1), now_ms, now_ms + self.row.roll)
        self._scheduler.schedule(now_ms + self.row.roll, lambda ms: self._land(slot - 1, ms))
        self._clear(slot, now_ms)

    def _land(self, slot: int, now_ms: int) -> None:
        self._settled[slot] = True
        self._contacts.press(self.row.switches[slot])
        self._plan_roll(slot, now_ms)
        if slot + 1 < len(self.slots):
            self._plan_roll(slot + 1, now_ms)


class DropTarget:
    """A drop target: down, its switch closed, from the hit until its coil raises it."""

    def __init__(self, row: DropTargetRow, scheduler: Scheduler, contacts: Contacts) -> None:
        self.row = row
        self.is_down = False
        self._scheduler = scheduler
        self._contacts = contacts

    def knock_down(self) -> None:
        """A ball hits it: it drops, and its switch closes."""
        if not self.is_down:
            self.is_down = True
            self._contacts.press(self.row.switch)

    def raise_up(self, at_ms: int) -> None:
        """Its coil pulses: it rises `opens_after` ms later."""
        self._scheduler.schedule(at_ms + self.row.opens_after, self._rise)

    def _rise(self, now_ms: int) -> None:
        if self.is_down:
            self.is_down = False
            self._contacts.release(self.row.switch)
