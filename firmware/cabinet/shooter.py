"""The shooter lane: a ball waits to be plunged, by hand or by the auto plunger."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

FRESH = 1  # argument of `ball.ready`: from the trough, to be plunged by hand
FALLEN_BACK = 2  # was plunged and rolled back; 0: the machine plunges it
RETRY = 2000  # ms after the auto plunger fired until a ball still in the lane is plunged again


class Shooter(Feature):
    """Says when a ball is ready and when it is away; plunges served-back and forgotten balls itself."""

    name = "shooter"
    span = PERSISTENT
    plunger: "CoilName | NoName" = "auto_plunger"  # "": there is none, every ball waits for a hand
    chart: "tuple[tuple[object, ...], ...]" = (
        ("empty", "lane", "waiting", "arrive"),
        ("waiting", "opened.lane", "empty", "leave"),
        ("waiting", "shooter.plunge", None, "plunge"),
    )

    _trough: "Trough"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._coil = self.coil(self.plunger) if self.plunger else None
        self._patience = play.settings.get("plunge_after") if self.plunger else None
        self._plunge = self.event("shooter.plunge")
        self._ejected = self.event("trough_ejected")
        self._ready = self.event("ball.ready")
        self._away = self.event("ball.away")
        self._clock = self.clock(self._plunge.post)
        self.auto = False

    def bind(self) -> None:
        """Set-up is over: find the trough."""
        super().bind()
        self._trough = self.play.find("trough")

    def arrive(self, event: int) -> None:
        """A ball came to rest in the lane: from the trough, or fallen back."""
        by_hand = FRESH
        self.play.in_lane = 1
        if self._trough.is_serving():
            self.auto = self._trough.take_auto() and self._coil is not None
            self._ejected.raise_()
        else:
            by_hand = FALLEN_BACK
            self.play.out = max(0, self.play.out - 1)
            self.play.count_free()
        self._say_ready(0 if self.auto else by_hand)
        if self.auto:
            self._clock.start(1)

    def present(self) -> None:
        """The ball in the lane is a new one, to be plunged by hand."""
        self.auto = False
        self._clock.stop()
        self._say_ready(FRESH)

    def _say_ready(self, by_hand: int) -> None:
        self._ready.raise_(by_hand)
        if by_hand and self._patience and self._patience.value:
            self._clock.start(self._patience.value * 1000)

    def leave(self, event: int) -> None:
        """The ball left the lane: it is in play."""
        self._clock.stop()
        self.play.in_lane = 0
        self.play.out += 1
        self.play.count_free()
        self._away.raise_(0 if self.auto else 1)

    def plunge(self, event: int) -> None:
        """Fire the auto plunger; again after RETRY ms if the ball is still there."""
        if self._coil is None:
            return
        self._coil.pulse()
        self._clock.start(RETRY)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.cabinet.trough import Trough
    from firmware.play.name_types import CoilName, NoName
    from firmware.play.rule_context import RuleContext
