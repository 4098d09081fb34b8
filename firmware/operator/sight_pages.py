"""What is seen and heard: every segment of the display, every cue."""

from firmware.operator.sheet import Rows, Sheet, words
from firmware.play.pages import CELLS, COMMA, POINT

FIRST = 32
EVERY = 96
EIGHT = 56
FULL = 2 * CELLS


class Display(Sheet):
    """Less and more walk the pictures: eights, points, commas, then every character."""

    def __init__(self, walk: "Any") -> None:
        super().__init__(walk)
        self._at = 0

    def draw(self) -> None:
        cells = self.pad.page.cells
        for i in range(FULL):
            cells[i] = self._cell(i)
        self.pad.page.show()

    def less(self) -> None:
        self._at = (self._at - 1) % (3 + EVERY // FULL)
        self.draw()

    def more(self) -> None:
        self._at = (self._at + 1) % (3 + EVERY // FULL)
        self.draw()

    def open_(self) -> None:
        self.refuse()

    def _cell(self, i: int) -> int:
        if self._at == 0:
            return EIGHT + POINT + COMMA
        if self._at == 1:
            return FIRST + POINT
        if self._at == 2:
            return FIRST + COMMA
        return FIRST + (self._at - 3) * FULL + i


class Cues(Rows):
    """Less and more choose a cue; open plays it."""

    def count(self) -> int:
        return len(self.play.cues.names)

    def show(self, at: int) -> None:
        self.say(0, words(self.play.cues.names[at]))
        self.say(1, f"{at + 1} OF {self.count()}")

    def open_(self) -> None:
        self.play.cues.play(self.at)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
