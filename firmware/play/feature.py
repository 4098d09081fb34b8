"""The base of every feature: one rule, its chart, its memory, its lamps."""

from firmware.charts.model import ANY
from firmware.play.claims import RULE, Claim
from firmware.play.flashers import Flasher
from firmware.play.memory import BALL, Value
from firmware.play.offers import Offer
from firmware.play.pages import Page
from firmware.play.requests import CoilHandle, Cue
from firmware.play.rule_context import Clock, RuleContext, Signal
from firmware.play.score import Award


class Feature:
    """One rule. Subclasses give `name`, `chart` and, when its states outlast a ball, `span`.

        class Rush(Feature):
            name = "rush"
            chart = (
                # state, event, next state, actions, guard
                ("idle", "saw", "lit", None),
                ("lit", "bench.left", "idle", "collect"),
                ("lit", "ball.ended", "idle", None),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("collected", 50_000)
                self._lamp = self.lamp("rush")

            def show(self):
                self._lamp.set(ON if self.is_in("lit") else NONE)

            def collect(self, event):
                self._award.pay()

    The first sentence of the docstring is printed on the rule card. `show` sets lamps and offers from
    memory and states alone; it is called after every event that the feature answered and at each change
    of players, so no feature writes code for either.
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
        """Write the feature's page of the status report; False: it has none."""
        return False

    def bind(self) -> None:
        """Called at the end of set-up: every feature exists, the numbers of states are known.

        A feature that needs others finds them here: `self._trough = self.play.find("trough")`.
        """
        for row in self.chart:
            source, _event, target = row[:3]
            for state in (source, target):
                if isinstance(state, str) and state != ANY and state not in self._ids:
                    self._ids[state] = self.play.engine.state_id(self.name + "/" + state)

    def is_in(self, state: str) -> bool:
        """Whether the feature's chart is in `state`. Raises KeyError when the chart has no such state."""
        number, engine = self._ids[state], self.play.engine
        return bool(number <= engine.leaf[engine.table.region[number]] < engine.table.end[number])

    # What a feature declares in its __init__ -------------------------------------------------

    def award(self, what: str, points: int = 0, exempt: bool = False) -> Award:
        """A reason for points, in the ledger as NAME.what; `exempt` ones are never multiplied.

        self._award = self.award("complete", 10_000)   # later: self._award.pay()
        """
        return self.play.score.award(self.name, what, points, exempt)

    def value(self, what: str, start: int = 0, span: int = BALL) -> Value:
        """An integer that lasts for `span` (see play.memory), `start` at first; ±2^30 at most.

        self._turns = self.value("turns", 0, PLAYER)   # later: self._turns.value += 1

        Raises GameError when the feature has a value of that name already.
        """
        return self.play.memory.value(self.name, what, start, span)

    def lamp(self, name: "LampName", priority: int = RULE) -> Claim:
        """A claim on a lamp of the wiring table, above claims of lower `priority` (see play.claims).

        self._lamp = self.lamp("jar")   # in show: self._lamp.set(ON)

        Raises GameError when no lamp has that name.
        """
        return self.play.lamps.claim(name, priority, self.name)

    def coil(self, name: "CoilName") -> CoilHandle:
        """A handle on a coil of the wiring table.

        self._knocker = self.coil("knocker")   # later: self._knocker.pulse()

        Raises GameError when no coil has that name.
        """
        return self.play.coils.coil(name, self.name)

    def flasher(self, name: "CoilName") -> Flasher:
        """A handle on a flasher of the wiring table, which never flashes faster than a lamp may blink.

        self._flash = self.flasher("flash.jar")   # later: self._flash.pulse()

        Raises GameError when no coil has that name.
        """
        return self.play.flashers.flasher(name, self.name)

    def optional_coil(self, name: str) -> "CoilHandle | NoCoil":
        """A handle on a coil that the machine may lack; it requests nothing then."""
        return self.play.coils.optional(name, self.name)

    def cue(self, name: "CueName") -> Cue:
        """A handle on a sound; features that use one name share it.

        self._cue = self.cue("jar")   # later: self._cue.play()
        """
        return self.play.cues.cue(name)

    def offer(self, made: "RaisedEvent") -> Offer:
        """An offer at the shot that raises the event `made`: lit, it suppresses the shot's own points.

        That of a group, such as `made.orbit`, is at each of its shots, as charts hear it.

        self._offer = self.offer("made.orbit.right")   # in show: self._offer.set(self.is_in("lit"))
        """
        return self.play.offers.offer(self.play.events.add(made))

    def news(self, title: bytes, points: int) -> None:
        """Show `title` (ASCII, 16 at most), and `points` when there are any, for a moment."""
        self.play.news.announce(title, points)

    def event(self, name: str) -> Signal:
        """A handle on an event that the feature raises; charts hear it by this name.

        self._done = self.event("bank.done")   # in an action: self._done.raise_()
        """
        return self.play.event(name)

    def clock(self, hook: "Callable[[], None]", group: int = 0) -> Clock:
        """A timer that calls `hook` when it is due; those of the group FREE run while a ball is free.

        self._page_clock = self.clock(self._page.hide)   # later: self._page_clock.start(2_000)
        """
        return self.play.clock(hook, group)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.charts.model import Node
    from firmware.play.name_types import CoilName, CueName, LampName, RaisedEvent
    from firmware.play.no_coil import NoCoil
