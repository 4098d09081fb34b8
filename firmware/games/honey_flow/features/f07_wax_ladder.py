"""7. Wax Ladder: five rungs on the right ramp."""

from firmware.games.honey_flow.shows import TOPPED
from firmware.parts.ladder import Ladder
from firmware.parts.show import Show
from firmware.parts.state_probe import StateProbe
from firmware.parts.window import Window
from firmware.play.claims import FAST, NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import PLAYER

RUNGS = (15_000, 40_000, 90_000, 200_000, 450_000)
INSERTS = ("rung.1", "rung.2", "rung.3", "rung.4", "rung.5")


class WaxLadder(Feature):
    """Climb five rungs on the lit right ramp, each in time: 15,000 up to 450,000."""

    name = "wax_ladder"
    span = PLAYER
    chart = (
        ("dark", "bank.smoker", "lit", None),
        ("lit", "made.ramp.right", "timed", "climb", "not at_top"),
        ("lit", "made.ramp.right", "dark", ("top", "grand"), "at_top_in_flow"),
        ("lit", "made.ramp.right", "dark", "top", "at_top"),
        ("timed", "made.ramp.right", None, "climb", "not at_top"),
        ("timed", "made.ramp.right", "dark", ("top", "grand"), "at_top_in_flow"),
        ("timed", "made.ramp.right", "dark", "top", "at_top"),
        ("timed", "wax_ladder.expired", "dark", "fall"),
        ("timed", "ball.ended ball.abandoned", "lit", None),
        ("timed", "tilted", "lit", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._ladder = Ladder(self, RUNGS, windows=(18_000, 9_000), hard=(12_000, 6_000))
        self._window = Window(self, insert="ladder", flasher="flash.wax")
        self._rungs = [self.award("rung_" + str(n + 1), RUNGS[n]) for n in range(len(RUNGS))]
        self._offer = self.offer("made.ramp.right")
        self._lamp = self.lamp("ladder")
        self._lamps = [self.lamp(name) for name in INSERTS]
        self._cue = self.cue("rung")
        self._grand = self.cue("grand_wax")
        self._topped = Show(self, TOPPED)
        self._flow = StateProbe(self, "nectar_flow", "running")

    def bind(self) -> None:
        """Set-up is over: find the state of Nectar Flow."""
        super().bind()
        self._flow.bind()

    def show(self) -> None:
        """Set the rungs, the insert and the offer at the right ramp."""
        lit = not self.is_in("dark")
        self._offer.set(lit)
        self._lamp.set(ON if self.is_in("lit") else NONE)
        for i in range(5):
            rung = i + 1
            waiting = FAST if lit else NONE
            self._lamps[i].set(
                ON if rung < self._ladder.next() else waiting if rung == self._ladder.next() else NONE
            )

    def report(self, page: "Page") -> bool:
        """Write the next rung."""
        page.title(0, b"WAX LADDER")
        page.title(1, b"NEXT RUNG   ")
        page.number(1, 12, self._ladder.next())
        return True

    def at_top(self, event: int) -> bool:
        """Whether the next shot pays the last rung."""
        return self._ladder.at_top()

    def at_top_in_flow(self, event: int) -> bool:
        """Whether it does so during Nectar Flow."""
        return self._ladder.at_top() and self._flow.is_active()

    def grand(self, event: int) -> None:
        """Play the sound of the last rung in Nectar Flow."""
        self._grand.play()

    def climb(self, event: int) -> None:
        """Pay a rung; the next one is open for its time."""
        self._pay()
        self._window.open_for(self._ladder.window())

    def top(self, event: int) -> None:
        """Pay the last rung."""
        self._pay()
        self._window.close()
        self._topped.play()

    def fall(self, event: int) -> None:
        """Time is up: one rung down."""
        self._ladder.fall()

    def _pay(self) -> None:
        award = self._rungs[self._ladder.next() - 1]
        self._cue.play()
        self.news(b"WAX LADDER", award.pay(self._ladder.climb()))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
