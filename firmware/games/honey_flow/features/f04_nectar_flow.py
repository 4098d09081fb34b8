"""4. Nectar Flow: everything counts twice for a time."""

from firmware.charts.model import ANY
from firmware.parts.timed_factor import TimedFactor
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER
from firmware.play.pages import WINDOWS

TURN = 500
TICK = 100


class NectarFlow(Feature):
    """{nectar_turns} spinner turns light the left orbit; shoot it, and all counts twice for 25 seconds."""

    name = "nectar_flow"
    span = BALL
    chart = (
        ("idle", "made.orbit.left", "running", ("use", "start"), "lit"),
        ("running", "made.orbit.left", None, ("use", "start"), "lit"),
        ("idle", "nectar.start", "running", "start"),
        ("running", "nectar.start", None, "start"),
        ("running", "spinner", None, ("turn", "extend")),
        ("running", "nectar_flow.expired", "idle", "stop"),
        ("running", "ball.ended ball.abandoned", "idle", "stop"),
        ("running", "tilted", "idle", "stop"),
        (ANY, "spinner", None, "turn"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._turns_wanted = play.settings.get("nectar_turns")
        self._turns = self.value("turns", 0, PLAYER)
        self._lit = self.value("lit", 0, PLAYER)
        self._twice = TimedFactor(self, factor=2, seconds=25, cap=40, insert="nectar", flasher="flash.jar")
        self._offer = self.offer("made.orbit.left")
        self._orbit = self.lamp("orbit_left")
        self._spinner = self.lamp("spinner")
        self._page = play.pages.page(WINDOWS)
        self._score = 0  # as the page has it
        self._tick = self.clock(self._write)
        self._cue = self.cue("nectar")

    def show(self) -> None:
        """Light the orbit and offer the flow there when it starts it; light the spinner otherwise."""
        self._offer.set(bool(self._lit.value))
        self._orbit.set(ON if self._lit.value else NONE)
        self._spinner.set(NONE if self._lit.value else ON if self.play.live else NONE)

    def report(self, page: "Page") -> bool:
        """Write how many turns are missing, or that it is lit."""
        page.title(0, b"NECTAR FLOW")
        if self._lit.value:
            page.title(1, b"IS LIT")
        else:
            page.title(1, b"TURNS         ")
            page.number(1, 14, self._turns_wanted.value - self._turns.value)
        return True

    def lit(self, event: int) -> bool:
        """Whether the left orbit starts the flow."""
        return bool(self._lit.value)

    def turn(self, event: int) -> None:
        """Count a turn of the spinner; enough of them light the orbit."""
        self._turns.value += 1
        if self._turns.value >= self._turns_wanted.value:
            self._turns.value = 0
            self._lit.value = 1

    def use(self, event: int) -> None:
        """The lit orbit was shot."""
        self._lit.value = 0

    def start(self, event: int) -> None:
        """As started anew: at least the full time."""
        self._twice.start()
        self._cue.play()
        self._page.clear(0)
        self._page.write(0, 0, b"NECTAR FLOW")
        self._page.clear(1)
        self._score = -1  # meant: what the page shows, no player's value
        self._write()

    def extend(self, event: int) -> None:
        """A turn of the spinner adds TURN ms."""
        self._twice.extend(TURN)

    def stop(self, event: int) -> None:
        """The flow is over."""
        self._twice.stop()
        self._tick.stop()
        self._page.hide()

    def _write(self) -> None:
        left = self._twice.window.remaining_ms()
        page = self._page
        page.show_seconds(0, 15, left)
        score = self.play.score.scores[self.play.score.player]
        if score != self._score:
            self._score = score
            page.score(1, 8, score)
        page.show_seconds(1, 15, left)
        page.show()
        self._tick.start(TICK)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
