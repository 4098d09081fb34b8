"""Display and sound: every segment of the display, every cue."""

from firmware.operator.service_page import ListPage, ServicePage, words
from firmware.play.pages import CELLS, COMMA, POINT

FIRST = 32
EVERY = 96
PLAIN = (56, 42, 32, 32)  # 8, *, blank, blank
DOTS = (0, 0, POINT, COMMA)
FULL = 2 * CELLS


class Display(ServicePage):
    """Less and more step through the pictures: eights and stars, which share every segment, points, commas,
    then every character."""

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._at = 0

    def draw(self) -> None:
        """Write the picture."""
        for i in range(FULL):
            self.pad.screen.put(i // CELLS, i % CELLS, self._cell(i))
        self.pad.screen.show()

    def less(self) -> None:
        """The picture before."""
        self._at = (self._at - 1) % (len(PLAIN) + EVERY // FULL)
        self.draw()

    def more(self) -> None:
        """The next picture."""
        self._at = (self._at + 1) % (len(PLAIN) + EVERY // FULL)
        self.draw()

    def open_(self) -> None:
        """Nothing to do."""
        self.refuse()

    def _cell(self, i: int) -> int:
        if self._at < len(PLAIN):
            return PLAIN[self._at] + DOTS[self._at]
        return FIRST + (self._at - len(PLAIN)) * FULL + i


class Cues(ListPage):
    """Less and more choose a cue; open plays it."""

    def count(self) -> int:
        """How many cues there are."""
        return len(self.menu.names.of_cues)

    def show(self, at: int) -> None:
        """Write a cue's name and number."""
        self.show_line(0, words(self.menu.names.of_cues[at]))
        self.show_line(1, f"{at + 1} OF {self.count()}")

    def open_(self) -> None:
        """Play the cue."""
        self.play.cues.play(self.at)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
