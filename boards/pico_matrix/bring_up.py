"""The board's bring-up: its state in a small file of the flash, and what the main loop does for it.

`inlane bring-up` writes the file: the drive, and what was seen so far. Without one there is none.
"""

from boards.pico_matrix import isr
from firmware.base import ticks
from firmware.devices.bring_up import FILE, BringUp
from firmware.devices.native import senses

SAY_MS = 10_000
LOOK_MS = 20


def load(hardware: "Hardware", was_reset: bool, file: str = FILE) -> "BoardBringUp | None":
    """The bring-up that the file asks for; None without a file, and once it is passed.

    A file that was not written to its end allows no drive at all.
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
        hardware.senses[senses.BLOCKED] |= trials.others()

    def turn(self, line: "Line") -> None:
        """Called by the main loop: look, keep what was seen, say what is left."""
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
        if self._said < 0 or ticks.diff(now, self._said) > SAY_MS:
            self._said = now
            line.say(self.sentence())

    def sentence(self) -> str:
        """What is being tried, and what is left."""
        left = self.trials.left()
        if not left:
            return "bring-up: door, feed wire and reset failed safe; the next start drives every coil"
        return "bring-up: drive " + str(self.trials.drive) + " alone, up to 15 V; still to be tried: " + left

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
