"""Coils: one pulse of a chosen strength, or five of them with a count of the answers."""

from firmware.operator.coil_moving import NONE, CoilMovingPage, usual_pulse_ms
from firmware.operator.service_page import words
from firmware.play.rows import longest_on, names

APART = 15  # ticks between the pulses of five
FIVE = 5
STEPS = 12  # strengths between the least and the longest


class OneCoil(CoilMovingPage):
    """Choose a coil, open it, choose the pulse; open gives one, open held gives five.

    For a coil whose answer the game lists (coil, switch, closes or opens) it shows how many
    of the five were answered.
    """

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._rows = self.menu.coils
        self._names = names(self._rows)
        self._answers = self.menu.answers
        self._chosen = False
        self._ms = 0
        self._left = 0
        self._came = 0
        self._waiting = False

    def count(self) -> int:
        """How many coils the game has."""
        return len(self._rows)

    def show(self, at: int) -> None:
        """Write the coil's name, and its pulse once it is chosen."""
        self.show_line(0, words(self._names[at]))
        self.show_line(1, f"{self._ms} MS" if self._chosen else "OPEN TO CHOOSE")

    def less(self) -> None:
        """The coil before, or a shorter pulse."""
        self._change(-1)

    def more(self) -> None:
        """The next coil, or a longer pulse."""
        self._change(1)

    def open_(self) -> None:
        """Choose the coil, then pulse it."""
        if not self._chosen:
            self._chosen = True
            self._ms = usual_pulse_ms(self._rows[self.at])
            self.draw()
        elif self._left or self._wait:
            self.refuse()
        elif self.pulse(self.at, self._ms):
            self.show_line(1, f"{self._ms} MS GIVEN")
        elif self.may_move_coils():
            self.show_line(1, f"{self._ms} MS REFUSED")

    def leave(self) -> bool:
        """Back to choosing a coil first."""
        if self._chosen:
            self.stop()
            self._chosen = False
            self.draw()
            return False
        return True

    def stop(self) -> None:
        """No further pulse."""
        self._left = 0
        self._wait = 0

    def edge(self, switch: int, closed: int) -> None:
        """Count the answer of a coil that was pulsed."""
        super().edge(switch, closed)
        if self._waiting and self._answer() == (switch, closed):
            self._waiting = False
            self._came += 1

    def tick(self) -> None:
        """Start five pulses when open is held, then give the next one."""
        if self._chosen and self.menu.held_open() and self.may_move_coils():
            self._left = FIVE
            self._came = 0
            self._wait = APART
        if not self._wait:
            return
        self._wait -= 1
        if not self._wait:
            self._next()

    def _next(self) -> None:
        if not self._left:
            self._waiting = False
            known = self._answer()[0] != NONE
            self.show_line(1, f"{self._came} OF {FIVE} ANSWERED" if known else f"{FIVE} PULSES GIVEN")
            return
        self._left -= 1
        self._wait = APART
        self._waiting = self.pulse(self.at, self._ms)
        if self._waiting:
            self.show_line(1, f"PULSE {FIVE - self._left} OF {FIVE}")
        else:
            self.stop()

    def _answer(self) -> "tuple[int, int]":
        for coil, switch, closed in self._answers:
            if coil == self._names[self.at]:
                return self.switch(switch), closed
        return NONE, 0

    def _change(self, by: int) -> None:
        if not self._chosen:
            self.at = (self.at + by) % self.count()
            self.draw()
            return
        longest = longest_on(self._rows[self.at]) or 2 * usual_pulse_ms(self._rows[self.at])
        step = max(1, longest // STEPS)
        wanted = self._ms + by * step
        if wanted > longest:
            wanted = longest if self._ms < longest else 0
        if wanted < 1 or self._left:
            self.refuse()
            return
        self._ms = wanted
        self.draw()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
