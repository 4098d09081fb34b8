"""The board's bring-up: its state in a small file of the flash, and what the main loop does for it.

`inlane bring-up` writes the file: the drive, and what was seen so far. Without one there is none.
"""

from boards.pico_matrix import isr
from firmware.base import ticks
from firmware.devices.bring_up import FILE, BringUp
from firmware.devices.limiter_state import drive_of
from firmware.devices.native import limiter

SAY_MS = 10_000
LOOK_MS = 20
REFUSED = "coil_in_bring_up"  # in the fault log: a coil that was asked for and is kept off


def load(hardware: "Hardware", was_reset: bool, file: str = FILE) -> "BoardBringUp | None":
    """The bring-up that the file asks for; None without a file, and once it is passed.

    A file that was not written to its end allows no drive at all. Call it before the self-test, which must
    not judge drains of coils that are not connected.
    """
    try:
        with open(file) as stored:
            drive, seen = [int(word) for word in stored.read().split()]
    except OSError:
        return None
    except ValueError:
        drive, seen = 0, 0
    trials = BringUp(drive, seen)
    return None if trials.is_passed() else BoardBringUp(hardware, trials, was_reset, file)


class BoardBringUp:
    """One drive, at low voltage. `was_reset`: the last start was ended by a reset from outside."""

    def __init__(self, hardware: "Hardware", trials: BringUp, was_reset: bool, file: str) -> None:
        self.trials = trials
        self._hardware = hardware
        self._was_reset = was_reset
        self._file = file
        self._saved = trials.seen
        self._looked = 0
        self._said = -1
        self._refused = 0  # coils whose refusal was said
        trials.confine(hardware.supply, hardware.limiter.state, hardware.template)

    def turn(self, line: "Line | None", console: "Console | None") -> None:
        """Called by the main loop: look, keep what was seen, say and show what is left.

        No `line` while a host has a session on it: between frames a sentence would damage one.
        """
        b = self._hardware.cells
        now = self._hardware.now()
        if b[isr.FAULT] or ticks.diff(now, self._looked) < LOOK_MS:
            return
        self._looked = now
        if self._was_reset and not b[isr.QUIET]:
            self._was_reset = False
            self.trials.restarted()
        if self.trials.sample(self._hardware.senses, b[isr.SENT], b[isr.BUS_MV]):
            b[isr.FAULT] = isr.TOO_HIGH
        if self.trials.seen != self._saved:
            self._save()
        if self._hardware.kept_off != self._refused:
            self._say_refused(line, console)
        if self._said < 0 or ticks.diff(now, self._said) > SAY_MS:
            self._said = now
            if line:
                line.say(self.sentence())
            if console:
                console.pad.show_notice(b"BRING-UP", b"DRIVE " + str(self.trials.drive).encode() + b" ALONE")

    def sentence(self) -> str:
        """What is being tried, and what is left."""
        left = self.trials.left()
        if not left:
            return "bring-up: door, feed wire and reset failed safe; the next start drives every coil"
        return "bring-up: drive " + str(self.trials.drive) + " alone, up to 15 V; still to be tried: " + left

    def _say_refused(self, line: "Line | None", console: "Console | None") -> None:
        """Each coil once: on the line, and in the fault log."""
        new = self._hardware.kept_off & ~self._refused
        self._refused |= new
        state = self._hardware.limiter.state
        alone = " was asked for and refused: drive " + str(self.trials.drive) + " alone may be driven"
        for coil in range(state[limiter.COILS]):
            if new >> coil & 1:
                if line:
                    line.say("bring-up: drive " + str(drive_of(state, coil)) + alone)
                if console:
                    console.play.faults.report(REFUSED, coil)

    def _save(self) -> None:
        """Writing flash masks interrupts, so the coil enable is dropped meanwhile."""
        cells = self._hardware.cells
        enabled = cells[isr.ENABLED]
        cells[isr.ENABLED] = 0
        try:
            with open(self._file, "w") as stored:
                stored.write(f"{self.trials.drive} {self.trials.seen}")
        finally:
            cells[isr.ENABLED] = enabled
        self._saved = self.trials.seen
        self._said = -1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.pico_matrix.board import Hardware
    from boards.pico_matrix.line import Line
    from firmware.console import Console
