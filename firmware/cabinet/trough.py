"""The trough: counts resting balls, serves one at a time, retries, and handles drained balls."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

STILL = 500  # ms without a change before the balls in the trough are counted
TRIES = 5
CONFIRM = 3000  # an ejected ball reaches the shooter lane within this (common practice, no source)


class Trough(Feature):
    """Balls at rest are counted when the trough is still; an eject that does not arrive is tried again."""

    name = "trough"
    span = PERSISTENT
    eject_coil: "CoilName" = "trough_eject"
    jam_switch: "str | None" = (
        "trough.jam"  # where balls wait before they enter; None: there is no such place
    )
    chart: "tuple[tuple[object, ...], ...]" = (
        ("resting", "serve.wanted", "ejecting", "eject"),
        ("ejecting", "trough_ejected", "resting", "served"),
        ("ejecting", "trough_late", "resting", "slip", "has_left"),
        ("ejecting", "trough_late", None, "eject", "may_retry"),
        ("ejecting", "trough_late", "stuck", "give_up", "not may_retry"),
        ("stuck", "trough_ejected", "resting", "served"),
        ("stuck", "start", "ejecting", "eject_again"),
        ("stuck", "trough_still", "ejecting", ("count", "eject_again")),
        (ANY, "trough.1", None, "moved"),
        (ANY, "trough.2", None, "moved"),
        (ANY, "trough.3", None, "moved"),
        (ANY, "trough.jam", None, "moved"),
        (ANY, "opened.trough.jam", None, "moved"),
        (ANY, "opened.trough.1 opened.trough.2 opened.trough.3", None, ("leave", "moved")),
        (ANY, "trough_still", None, "count"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.play = play
        places = play.wiring.TROUGH + ((self.jam_switch,) if self.jam_switch else ())
        self._places = [play.switch(name, self.name) for name in places]
        self._coil = self.coil(self.eject_coil)
        self._still = self.event("trough_still")
        self._late = self.event("trough_late")
        self._wanted = self.event("serve.wanted")
        self._lost = self.event("ball.lost")
        self._home_event = self.event("ball.home")
        self._stuck = self.event("trough_stuck")
        self._ready = self.event("ball.ready")
        self._away = self.event("ball.away")
        self._quiet = self.clock(self._still.post)
        self._confirm = self.clock(self._late.post)
        self._home = 0
        self._leaving = 0
        self._tries = 0
        self._serves = 0
        self._auto = 0

    @property
    def balls_home(self) -> int:
        """Balls counted in the trough."""
        return self._home

    def serve(self, auto: bool) -> None:
        """Bring one ball to the shooter lane; `auto`: and plunge it."""
        self._serves += 1
        if auto:
            self._auto += 1
        if self._serves == 1:
            self._wanted.post()

    def drop_serves(self) -> None:
        """The ball is over: no ball is served any more but the one whose turn it is."""
        self._serves = min(1, self._serves)
        self._auto = min(1, self._auto)

    def leave_to_hand(self) -> None:
        """The ball that is being served is not plunged by the machine."""
        self._auto = 0

    def to_serve(self) -> int:
        """Balls that are still to be served."""
        return self._serves

    def in_play(self) -> int:
        """Balls on the playfield or in a device, in the shooter lane, and still to be served."""
        return self.play.out + self.play.in_lane + self._serves

    def is_serving(self) -> bool:
        """Whether a ball is on its way to the lane."""
        return self._serves > 0

    def take_auto(self) -> bool:
        """Whether the ball that just arrived is to be plunged by the machine."""
        if self._auto:
            self._auto -= 1
            return True
        return False

    def resting(self) -> int:
        """Trough positions (and the jam place) that are closed now."""
        n = 0
        for switch in self._places:
            n += self.play.closed[switch]
        return n

    # Actions ---------------------------------------------------------------------------------

    def eject(self, event: int) -> None:
        """Pulse the eject coil and expect the ball in the shooter lane within CONFIRM ms."""
        self._tries += 1
        self._leaving = 0
        self._coil.pulse()
        self._confirm.start(CONFIRM)

    def eject_again(self, event: int) -> None:
        """Eject, with all tries anew."""
        self._tries = 0
        self.eject(event)

    def may_retry(self, event: int) -> bool:
        """Whether fewer than TRIES ejects have failed."""
        return self._tries < TRIES

    def has_left(self, event: int) -> bool:
        """Whether the ball has left the trough, though the shooter lane did not see it."""
        return self.resting() < self._home and not self._quiet.is_running()

    def slip(self, event: int) -> None:
        """A ball that passed the lane too fast for its switch is in play all the same."""
        self.play.faults.report("lane_unseen")
        self.take_auto()
        self.play.out += 1
        self._ready.raise_(0)
        self._away.raise_(0)
        self.served(event)

    def give_up(self, event: int) -> None:
        """Report that no ball can be ejected."""
        self.play.faults.report("trough_stuck")
        self._stuck.raise_()

    def served(self, event: int) -> None:
        """A ball reached the shooter lane; serve the next one that is wanted."""
        self._confirm.stop()
        self._tries = self._leaving = 0
        self._home -= 1
        self._serves -= 1
        self.moved(event)
        if self._serves:
            self._wanted.post()

    def leave(self, event: int) -> None:
        """A place is empty: while one ball is ejected, that ball has left."""
        if self._tries:
            self._leaving = 1

    def moved(self, event: int) -> None:
        """Something moved: balls above those at home, less the one that left, are rolling in."""
        self._quiet.start(STILL)
        rolling = self.resting() - self._home + self._leaving
        self.play.rolling_in = rolling if rolling > 0 else 0
        self.play.count_free()

    def count(self, event: int) -> None:
        """The trough is still: what is above the count has drained."""
        found = self.resting()
        drained = found - self._home
        if self._tries and drained < 0:
            return
        self._home = found
        self.play.rolling_in = 0
        while drained > 0:
            drained -= 1
            self._drain()
        self.play.count_free()
        if self._all_home() and not self._serves:
            self.play.out = 0
            self._home_event.raise_()

    def write_off(self, balls: int) -> None:
        """Balls that the search could not find: play goes on with what is there."""
        for _ in range(balls):
            self.play.missing += 1
            self.play.out -= 1
            self._lost.raise_(self.in_play())
        self.play.count_free()
        if self._all_home() and not self._serves:
            self._home_event.raise_()

    def _all_home(self) -> bool:
        there = self._home + self.play.locked
        known = self.play.balls - self.play.missing
        if there > known:
            self.play.missing -= there - known
        return bool(there >= known)

    def _drain(self) -> None:
        self.play.out = max(0, self.play.out - 1)
        if self.play.live and self._is_saved():
            return
        self._lost.raise_(self.in_play())

    def _is_saved(self) -> bool:
        for saver in self.play.savers:
            if saver():
                self.serve(True)
                return True
        return False


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName
    from firmware.play.rule_context import RuleContext
