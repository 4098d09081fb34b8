"""Interrupts a program at any step: a call of one of the methods in STEPS."""

from boards.unix.pins import PinBoard
from boards.unix.trials.machines import HeapLock
from firmware.base.trace import Trace
from firmware.console import Console
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.coils import Coils
from firmware.devices.reflexes import Reflexes
from firmware.devices.switches import Switches
from firmware.link.device import Device
from firmware.link.frames import Sender

TWICE = "Ctrl-C twice"
FULL = "full heap"
KINDS = ("exception", "Ctrl-C", TWICE, "MemoryError", FULL)
OUTPUTS = ("enable", "pulse", "hold", "release", "lamp", "tick", "all_off", "_drive", "_release_all", "_say")
STEPS = (
    (Device, ("take", "tick", "_handler", "_guarded", "_crash", "_follow", "_go")),
    (Device, ("_drain", "_contact", "_done")),
    (Console, ("contact", "run_to", "due", "_step", "_take_contacts", "_edge", "_timer")),
    (Console, ("_before_event", "_react", "_show", "_resolve")),
    (Trace, ("add", "take")),
    (Coils, ("request", "fire", "off", "drain", "_tell", "_serve")),
    (CoilLimiter, ("fire", "off", "renew", "contact", "tick", "drop_first")),
    (Reflexes, ("renew", "change")),
    (Switches, ("change",)),
    (Sender, ("begin", "send")),
    (PinBoard, OUTPUTS),
)


class Interrupter:
    """Counts steps while it is armed, and raises or locks the heap at number `at`; −1: never.

    `fired`: it did.
    """

    def __init__(self) -> None:
        self.armed = False
        self.count = 0
        self.at = -1
        self.kind = ""
        self.fired = False
        self.heap = HeapLock()
        self._held: list[tuple[type, str, Method]] = []

    def install(self) -> None:
        """Replace every method of STEPS by one that counts itself."""
        self.uninstall()
        for owner, names in STEPS:
            for name in names:
                method = getattr(owner, name)
                self._held.append((owner, name, method))
                setattr(owner, name, self._counted(method))

    def uninstall(self) -> None:
        """Put the methods of STEPS back."""
        for owner, name, method in self._held:
            setattr(owner, name, method)
        self._held = []

    def _counted(self, method: "Method") -> "Method":
        def call(*arguments: object) -> object:
            self.step()
            return method(*arguments)

        return call

    def step(self) -> None:
        """Count one step; interrupt if it is the one."""
        if not self.armed:
            return
        self.count += 1
        if self.count == self.at or (self.kind == TWICE and self.count == self.at + 2):
            self.fired = True
            if self.kind == FULL:
                self.armed = False
                self.uninstall()  # the interrupter itself allocates
                self.heap.lock()
            elif self.kind == "MemoryError":
                raise MemoryError()
            elif self.kind == "exception":
                raise ValueError("planted")
            else:
                raise KeyboardInterrupt()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    class Method(Protocol):
        """Any method of STEPS: what it is given is passed on as it is."""

        def __call__(self, *arguments: object) -> object:
            """Call it."""
