"""Balls: the trough's places live, one eject, and the machine emptied of every ball."""

from firmware.operator.coil_moving import NONE, CoilMovingPage, usual_pulse_ms
from firmware.operator.service_page import Confirmation
from firmware.play.rows import zones

PATIENCE = 30  # ticks until an eject that moved nothing is tried again
TRIES = 5


class Trough(CoilMovingPage):
    """Shows which places hold a ball; open ejects one to the shooter lane."""

    nothing_came = "NO BALL CAME"

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._eject = self.coil(self.play.find("trough").eject_coil)
        self._lane = self.switch("lane")
        self._jam = self.switch("trough.jam")
        self._places = [self.switch(name) for name in self.menu.trough]

    def count(self) -> int:
        """One row."""
        return 1

    def show(self, at: int) -> None:
        """Write the places that hold a ball, and whether one is in the lane."""
        text = "TROUGH "
        for i in range(len(self._places)):
            text += f"{i + 1}" if self.play.closed[self._places[i]] else "-"
        if self._jam != NONE and self.play.closed[self._jam]:
            text += " JAM"
        self.show_line(0, text)
        self.show_line(1, "BALL IN LANE" if self.play.closed[self._lane] else "LANE IS EMPTY")

    def open_(self) -> None:
        """Eject a ball, if the lane is free."""
        if self._wait:
            self.refuse()
        elif self.play.closed[self._lane]:
            self.refuse()
            self.show_line(1, "LANE IS NOT FREE")
        else:
            self.move(self._eject, usual_pulse_ms(self.menu.coils[self._eject]), PATIENCE, "EJECTING")

    def edge(self, switch: int, closed: int) -> None:
        """Show what changed; a ball in the lane ends the wait."""
        super().edge(switch, closed)
        if switch == self._lane and closed:
            self._wait = 0
        if not self._wait:
            self.draw()


class Empty(CoilMovingPage):
    """Holes give their balls up, then the trough ejects one after another for a hand to take.

    Holes are the coils that are answered by a device's switch that opens.
    """

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._confirmation = Confirmation()
        self._eject = self.coil(self.play.find("trough").eject_coil)
        self._lane = self.switch("lane")
        self._jam = self.switch("trough.jam")
        self._places = [self.switch(name) for name in self.menu.trough]
        self._holes = self._find_holes()
        self._running = False
        self._tries = 0
        self._taken = 0
        self._in_lane = False
        self._left_lane = False

    def count(self) -> int:
        """One row."""
        return 1

    def show(self, at: int) -> None:
        """Write the title, and what open does next."""
        self.show_line(0, "EMPTY OF BALLS")
        self.show_line(1, "OPEN AGAIN: YES" if self._confirmation.is_pending() else "OPEN TO BEGIN")

    def open_(self) -> None:
        """Ask, then begin."""
        if self._running:
            self.refuse()
        elif self.may_move_coils():
            if self._confirmation.confirm():
                self._running = True
                self._wait = 1
                self._taken = 0
                self._tries = 0
            else:
                self.draw()

    def edge(self, switch: int, closed: int) -> None:
        """Notice a ball that reaches or leaves the lane."""
        super().edge(switch, closed)
        if switch == self._lane:
            self._left_lane = self._running and self._in_lane and not closed
            self._in_lane = closed != 0
            if self._running:
                self._tries = 0
                self._wait = 5

    def tick(self) -> None:
        """Count a ball that was taken, then move the next one."""
        if self._confirmation.tick():
            self.draw()
        if self._left_lane:
            self._left_lane = False
            self._take()
        if self._wait:
            self._wait -= 1
            if not self._wait:
                self._next()

    def stop(self) -> None:
        """Move no further ball."""
        self._running = False
        self._wait = 0
        self._confirmation.cancel()

    def _next(self) -> None:
        """The next coil, or wait for what the last one moved."""
        closed = self.play.closed
        if closed[self._lane]:
            self._in_lane = True
            self.show_line(1, "TAKE THE BALL")
            return
        for coil, switch in self._holes:
            if closed[switch]:
                self._try(coil)
                return
        for place in self._places:
            if closed[place]:
                self._try(self._eject)
                return
        self.stop()
        self.show_line(0, "EMPTY")
        self.show_line(1, f"{self._taken} BALLS TAKEN")

    def _try(self, coil: int) -> None:
        self._tries += 1
        if self._tries > TRIES:
            self.play.faults.report("coil_moved_nothing", coil)
            self.stop()
            self.refuse()
            self.show_line(1, "A BALL IS STUCK")
        elif self.pulse(coil, usual_pulse_ms(self.menu.coils[coil])):
            self.show_line(1, f"{self._taken} TAKEN")
            self._wait = PATIENCE
        elif self.may_move_coils():
            self._wait = PATIENCE
        else:
            self.stop()

    def _take(self) -> None:
        """A hand took the ball: it is not in play."""
        self._taken += 1
        self.play.out = max(0, self.play.out - 1)
        self.play.count_free()
        self.show_line(1, f"{self._taken} TAKEN")

    def _find_holes(self) -> "list[tuple[int, int]]":
        found = []
        zone = zones(self.menu.switches)
        for coil, switch, closes in self.menu.answers:
            at = self.switch(switch)
            if not closes and at != self._lane and zone[at] == "device":
                found.append((self.coil(coil), at))
        return found


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
