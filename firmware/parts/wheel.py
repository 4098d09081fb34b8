"""A wheel with weighted stops, driven by a motor and read by an index switch."""

from firmware.base import ticks
from firmware.play.claims import FAST, NONE, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

LONG = 150  # an index pulse at least this long is the home stop
PATIENCE = 8000  # no index pulse for so long: lamps replace the wheel


class Wheel(Feature):
    """Draws a stop first, then drives the wheel there, checks it, and raises what it shows.

        class BigWheel(Wheel):
            name = "wheel"
            stops = 8
            odds = ((12, 14, 18, 18, 10, 6, 14, 8), (26, 22, 16, 10, 3, 16, 6, 1))  # a row a choice
            chart = Wheel.chart

            def begin(self, event):
                super().begin(event)
                self.news(b"ROUND IT GOES", 0)

    `turn()` starts it; `shown.wheel` is raised with the stop (0 …) once it has stopped. A wheel that gives
    no index pulse is reported, and its lamps `wheel.1` … show the drawn stop instead. Needs the setting
    `wheel_odds`, the row of `odds`.
    """

    span = PERSISTENT
    stops = 8
    odds: "tuple[tuple[int, ...], ...]" = ()
    chart = (
        ("still", "turn.wheel", "turning", "begin"),
        ("turning", "wheel.index", None, "pulse_begins"),
        ("turning", "opened.wheel.index", None, "pulse_ends"),
        ("turning", "stop.wheel", "still", "show_stop"),
        ("turning", "mute.wheel", "still", "stand_in"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._choice = play.settings.get("wheel_odds")
        self._chance = play.stream()
        self._motor = self.coil("wheel_motor")
        self._turn = self.event("turn.wheel")
        self._stop = self.event("stop.wheel")
        self._mute = self.event("mute.wheel")
        self._shown = self.event("shown.wheel")
        self._patience = self.clock(self._mute.post)
        self._lamps = [self.lamp("wheel." + str(i + 1)) for i in range(self.stops)]
        self._target = 0
        self._at = -1
        self._closed_at = 0
        self._lit = -1

    def turn(self) -> None:
        """Draw a stop and go there."""
        self._turn.raise_()

    def dark(self) -> None:
        """Lamps off: what was shown is paid."""
        self._lit = -1
        self.show()

    def show(self) -> None:
        """Light the stop that is shown; blink the present one while it turns."""
        turning = self.is_in("turning")
        for i in range(self.stops):
            if turning:
                self._lamps[i].set(FAST if i == self._at else NONE)
            else:
                self._lamps[i].set(SLOW if i == self._lit else NONE)

    # Actions ---------------------------------------------------------------------------------

    def begin(self, event: int) -> None:
        """Draw a stop by the odds and start the motor."""
        self._target = self._chance.weighted(self.odds[self._choice.value])
        self._motor.hold()
        self._patience.start(PATIENCE)

    def pulse_begins(self, event: int) -> None:
        """The index switch closed."""
        self._patience.start(PATIENCE)
        self._closed_at = self.play.trace.now

    def pulse_ends(self, event: int) -> None:
        """The index switch opened: count the stop, and end at the drawn one."""
        length = ticks.diff(self.play.trace.now, self._closed_at)
        if length >= LONG:
            self._at = 0
        elif self._at >= 0:
            self._at = (self._at + 1) % self.stops
        if self._at == self._target:
            self._motor.release()
            self._stop.raise_()

    def show_stop(self, event: int) -> None:
        """The wheel reached its stop."""
        self._finish(self._at)

    def stand_in(self, event: int) -> None:
        """No index pulse came: stop the motor, report it, show the drawn stop by lamp."""
        self._motor.release()
        self._at = -1
        self.play.faults.report("wheel_mute")
        self._finish(self._target)

    def _finish(self, stop: int) -> None:
        self._patience.stop()
        self._lit = stop
        self._shown.raise_(stop)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
