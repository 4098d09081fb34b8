"""The end-of-ball bonus: counted in growing steps, skipped with both flipper buttons, lost on a tilt."""

from firmware.parts.multiplier import Multiplier
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER
from firmware.play.pages import COUNT

LONGEST = 4000  # a whole count, both counts of a last ball included
STEPS = 40


class Bonus(Feature):
    """Cells counted in play, times the multiplier, paid when the ball ends without a tilt.

    Subclasses give `per_cell`, `cap`, `carry_cap`, and rows for what counts; `carries_over` says whether
    this ball's cells are carried over to the next ball.
    """

    span = BALL
    per_cell = 1000
    cap = 120
    carry_cap = 60

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.cells = self.value("cells", 0, BALL)
        self.carried = self.value("kept", 0, PLAYER)
        self.multiplier: Multiplier | None = None
        self.last_ball: Callable[[], bool] = _never
        self._paid = self.award("paid", exempt=True)
        self._counted = self.event("bonus.counted")
        self._step_event = self.event("bonus.step")
        self._clock = self.clock(self._step_event.post)
        self._page = play.pages.page(COUNT)
        self._cue = self.cue("bonus")
        self._buttons = (play.switch("button.left", self.name), play.switch("button.right", self.name))
        self._shown = 0
        self._steps = 0
        self._rounds = 0
        self._carry = 0
        self._step_ms = 0

    def carries_over(self) -> bool:
        """Whether the cells of this ball are carried over; called once, when the ball ends."""
        return False

    def total(self) -> int:
        """What the bonus is worth now."""
        times = self.multiplier.times() if self.multiplier else 1
        return self.per_cell * (self.cells.value + self.carried.value) * times

    # Actions ---------------------------------------------------------------------------------

    def count_cell(self, event: int) -> None:
        """One more cell for this ball, up to the cap."""
        self.add_cells(1)

    def add_cells(self, cells: int) -> None:
        """So many more cells for this ball, up to the cap."""
        self.cells.value = min(self.cells.value + cells, self.cap)

    def begin(self, event: int) -> None:
        """The ball ended: start the count, or lose it on a tilt."""
        if self.play.tilted:
            self.carried.value = 0
            self._counted.raise_()
            return
        carries = self.carries_over()
        self._rounds = 2 if carries and self.last_ball() else 1
        self._carry = min(self.cells.value, self.carry_cap) if carries and self._rounds == 1 else 0
        self._step_ms = LONGEST // STEPS // self._rounds
        self._begin_round()

    def step(self, event: int) -> None:
        """Show the next step; pay when the whole bonus is shown."""
        self._steps += 1
        self._shown += 1 + self._steps // 4
        if self._shown >= self.cells.value + self.carried.value:
            self._pay()
        else:
            self._write()
            self._clock.start(self._step_ms)

    def skip(self, event: int) -> None:
        """Both flipper buttons: pay everything at once."""
        while self._rounds:
            self._pay_round()
        self._finish()

    def abandon(self, event: int) -> None:
        """A slam, or a new game, while it is counted: nothing is paid."""
        self._clock.stop()
        self._page.hide()

    def both(self, event: int) -> bool:
        """Whether both flipper buttons are closed."""
        closed = self.play.closed
        return bool(closed[self._buttons[0]] and closed[self._buttons[1]])

    # Counting --------------------------------------------------------------------------------

    def _begin_round(self) -> None:
        self._shown = 0
        self._steps = 0
        self._write()
        self._clock.start(self._step_ms)

    def _pay(self) -> None:
        self._pay_round()
        if self._rounds:
            self._begin_round()
        else:
            self._finish()

    def _pay_round(self) -> None:
        self._rounds -= 1
        self._paid.pay(self.total())

    def _finish(self) -> None:
        self._clock.stop()
        self._cue.play()
        self._page.hide()
        self.carried.value = self._carry
        self._counted.raise_()

    def _write(self) -> None:
        page = self._page
        times = self.multiplier.times() if self.multiplier else 1
        page.clear(0)
        page.write(0, 0, b"BONUS")
        page.number(0, 9, self._shown)
        page.write(0, 11, b"CELLS")
        page.clear(1)
        page.number(1, 0, times)
        page.write(1, 1, b"X")
        page.number(1, 15, self._shown * self.per_cell * times)
        page.show()


def _never() -> bool:
    return False


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.play.rule_context import RuleContext
