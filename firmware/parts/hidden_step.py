"""A hidden step: one of several is drawn when a game starts; it pays each player who reaches it, once."""

from firmware.play.claims import FAST, NONE, WINDOW
from firmware.play.feature import Feature
from firmware.play.memory import GAME, PLAYER


class HiddenStep(Feature):
    """The drawn step's lamp blinks until this player reaches it; then `pays_event` is raised, only once.

        class GoldCell(HiddenStep):
            name = "gold_cell"
            first = 2
            weights = (1, 2, 3)
            inserts = ("times.2", "times.3", "times.4")
            pays_event = "special.win"
            chart = (
                ("hidden", "multiplier.grown", "found", "find", "reached"),
                (ANY, "game.started", None, "draw"),
            )

    Subclasses give the chart and `first`, the number of the first step; `weights`, the odds of each step;
    `inserts`, the lamp of each step; `pays_event`, the event to raise. The event that calls `reached` carries
    the number of the step as its argument.
    """

    span = PLAYER
    first = 1
    weights: "tuple[int, ...]" = ()
    inserts: "tuple[LampName, ...]" = ()
    pays_event: "HeardEvent | NoName" = ""

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._step = self.value("step", 0, GAME)
        self._chance = play.stream()
        self._lamps = [self.lamp(name, WINDOW) for name in self.inserts]
        self._pays = self.event(self.pays_event)

    def show(self) -> None:
        """Blink the drawn step's lamp until the step is reached."""
        waiting = self.is_in("hidden")
        for i in range(len(self._lamps)):
            self._lamps[i].set(FAST if waiting and self._step.value == self.first + i else NONE)

    def draw(self, event: int) -> None:
        """A game started: draw the step by `weights`."""
        self._step.value = self.first + self._chance.weighted(self.weights)

    def reached(self, event: int) -> bool:
        """Whether the event's argument is the drawn step."""
        return bool(self.play.engine.value == self._step.value)

    def find(self, event: int) -> None:
        """The hidden step was found: raise the event `pays_event`."""
        self._pays.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import HeardEvent, LampName, NoName
    from firmware.play.rule_context import RuleContext
