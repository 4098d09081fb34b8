"""The base of every feature: one rule, its chart, its memory, its lamps."""

from firmware.charts.model import ANY
from firmware.play.claims import RULE, Claim
from firmware.play.memory import BALL, Value
from firmware.play.offers import Offer
from firmware.play.pages import Page
from firmware.play.requests import CoilHandle, Cue
from firmware.play.rule_context import Clock, RuleContext, Signal
from firmware.play.score import Award


class Feature:
    """One rule. Subclasses give `name`, `chart` and, when its states outlast a ball, `span`.

    The docstring's first sentence is what the rule card says. `show` sets lamps and offers from
    memory and states alone; it is called after every event the feature answered and at each
    player change, so no feature writes code for either.
    """

    name = ""
    span = BALL
    chart: "tuple[tuple[object, ...], ...]" = ()
    states: "tuple[Node, ...]" = ()

    def __init__(self, play: RuleContext) -> None:
        self.play = play
        self._ids: dict[str, int] = {}

    def show(self) -> None:
        """Set lamps and offers; called often, allocates nothing."""

    def report(self, page: Page) -> bool:
        """Write the feature's line of the status report; whether there is one."""
        return False

    def bind(self) -> None:
        """Set-up is over: every feature exists, state numbers are known."""
        for row in self.chart:
            source, _event, target = row[:3]
            for state in (source, target):
                if isinstance(state, str) and state != ANY and state not in self._ids:
                    self._ids[state] = self.play.engine.state_id(self.name + "/" + state)

    def is_in(self, state: str) -> bool:
        """Whether the feature's chart is in `state`."""
        number, engine = self._ids[state], self.play.engine
        return bool(number <= engine.leaf[engine.table.region[number]] < engine.table.end[number])

    # What a feature declares in its __init__ -------------------------------------------------

    def award(self, what: str, points: int = 0, exempt: bool = False) -> Award:
        return self.play.score.award(self.name + "." + what, points, exempt)

    def value(self, what: str, start: int = 0, span: int = BALL) -> Value:
        return self.play.memory.value(self.name + "." + what, start, span)

    def lamp(self, name: str, priority: int = RULE) -> Claim:
        return self.play.lamps.claim(name, priority, self.name)

    def coil(self, name: str) -> CoilHandle:
        return self.play.coils.coil(name, self.name)

    def cue(self, name: str) -> Cue:
        return self.play.cues.cue(name)

    def offer(self, made: str) -> Offer:
        return self.play.offers.offer(self.play.events.add(made))

    def news(self, title: bytes, points: int) -> None:
        """Show `title`, and `points` when there are any, for a moment."""
        self.play.news.announce(title, points)

    def event(self, name: str) -> Signal:
        return self.play.event(name)

    def clock(self, hook: "Callable[[], None]", group: int = 0) -> Clock:
        return self.play.clock(hook, group)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.charts.model import Node
