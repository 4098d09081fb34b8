"""A hole that holds balls until its coil ejects them, one at a time."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

HOLD = 500  # ms that a ball rests before it is ejected
SETTLE = 700  # after a pulse the hole is not counted for this long; a second pulse comes no sooner
TRIES = 5  # failures in a row before the fault is reported; the hole goes on trying


class Hole(Feature):
    """Counts its balls and ejects what is above `to_hold`; raises `entered.NAME` for each that came.

    class Porch(Hole):
        name = "porch"
        places = ("porch",)          # the switch at the exit first
        eject_coil = "porch_eject"
        chart = (
            ("resting", "porch opened.porch", None, "changed"),
            ("resting", "eject.porch", "ejecting", "pulse"),
            ("ejecting", "opened.porch", None, "leave"),
            ("ejecting", after(SETTLE), "resting", "settle"),
        )
    """

    span = PERSISTENT
    places: "tuple[SwitchName, ...]" = ()
    eject_coil: "CoilName | NoName" = ""

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._switches = [play.switch(name, self.name) for name in self.places]
        self._exit = play.events.add("opened." + self.places[0])
        self._coil = self.coil(self.eject_coil)
        self._entered = self.event("entered." + self.name)
        self._eject = self.event("eject." + self.name)
        self._rest = self.clock(self._eject.post)
        self.count = 0
        self.to_hold = 0
        self.locked = 0
        self._gone = False
        self._tries = 0

    def hold(self, balls: int) -> None:
        """Hold so many from now on, and eject what is above."""
        self.to_hold = balls
        if self.count <= balls:
            self._rest.stop()
        else:
            self._eject.post()

    def lock(self) -> None:
        """One ball that rests here belongs to the machine, no longer to those in play."""
        self.locked += 1
        self.to_hold += 1
        self.play.locked += 1
        self.play.held -= 1
        self.play.out -= 1
        if self.count <= self.to_hold:
            self._rest.stop()
        self.play.show_all = True
        self.play.count_free()

    def unlock(self, balls: int) -> None:
        """So many locked balls are in play again; `hold(0)` ejects them."""
        self.locked -= balls
        self.to_hold -= balls
        self.play.locked -= balls
        self.play.held += balls
        self.play.out += balls
        self.play.show_all = True

    def may_search(self, late: bool) -> bool:
        """Whether ball search may pulse the coil: `late`, also with balls that are locked here."""
        return late or not self.locked

    # Actions ---------------------------------------------------------------------------------

    def changed(self, event: int) -> None:
        """A ball came or went."""
        n = 0
        for switch in self._switches:
            n += self.play.closed[switch]
        while n > self.count:
            self.count += 1
            self.play.held += 1
            self._entered.raise_(self.count)
        if n < self.count:
            self._lost(self.count - n)
        self.play.count_free()
        if self.count <= self.to_hold:
            self._rest.stop()
        elif not self._rest.is_running():
            self._rest.start(HOLD)

    def pulse(self, event: int) -> None:
        """Pulse the eject coil."""
        self._gone = False
        self._coil.pulse()

    def leave(self, event: int) -> None:
        """The switch of the first place opens: a ball is out. Another's says that the next one rolls up."""
        if event == self._exit and not self._gone:
            self._gone = True
            self._tries = 0
            self._lost(1)
            self.play.count_free()

    def settle(self, event: int) -> None:
        """SETTLE ms after a pulse: count again, and eject again what is left above `to_hold`."""
        if not self._gone:
            self._tries += 1
            if self._tries == TRIES:
                self.play.faults.report(self.name + "_stuck")
        self.changed(event)
        if self.count > self.to_hold:
            self._rest.stop()
            self._eject.raise_()

    def _lost(self, balls: int) -> None:
        """Balls that left are no longer held; one that was locked is in play again."""
        self.count -= balls
        self.play.held -= balls
        if self.count < self.locked:
            self.unlock(self.locked - self.count)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, NoName, SwitchName
    from firmware.play.rule_context import RuleContext
