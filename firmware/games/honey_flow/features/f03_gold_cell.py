"""3. Gold cell: one of the high multipliers hides a special."""

from firmware.charts.model import ANY
from firmware.play.claims import FAST, NONE, WINDOW
from firmware.play.feature import Feature
from firmware.play.memory import GAME, PLAYER

FIRST = 4
WEIGHTS = (1, 2, 3)


class GoldCell(Feature):
    """One of the 4×, 5×, 6× inserts blinks gold; whoever's multiplier reaches it gets a special, once."""

    name = "gold_cell"
    span = PLAYER
    chart = (
        ("hidden", "multiplier.grown", "found", "find", "reached"),
        (ANY, "game.started", None, "draw"),
    )

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._cell = self.value("cell", 0, GAME)
        self._chance = play.stream()
        self._lamps = [self.lamp("times." + str(FIRST + i), WINDOW) for i in range(len(WEIGHTS))]
        self._special = self.event("special.win")

    def show(self) -> None:
        waiting = self.inside("hidden")
        for i in range(len(WEIGHTS)):
            self._lamps[i].set(FAST if waiting and self._cell.n == FIRST + i else NONE)

    def draw(self, event: int) -> None:
        self._cell.n = FIRST + self._chance.weighted(WEIGHTS)

    def reached(self, event: int) -> bool:
        return bool(self.play.engine.value == self._cell.n)

    def find(self, event: int) -> None:
        self._special.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
