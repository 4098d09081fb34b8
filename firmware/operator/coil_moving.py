"""What pages that move coils share: the door open, the key on, one pulse at a time."""

from firmware.operator.service_page import ListPage
from firmware.play.requests import HOLD
from firmware.play.rows import names, usual_pulses

NONE = -1


class CoilMovingPage(ListPage):
    """Coils move only while the door is open and the keyed switch is on, and never in safe mode.

    Both are only read here: the switch contacts themselves interrupt the coil supply.
    """

    nothing_came = ""  # the second line when what a coil should have moved was not seen in time

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._wait = 0  # ticks until then

    def may_move_coils(self) -> bool:
        """Whether a coil may be moved now; shows the reason when not."""
        if self.pad.safe:
            self.show_line(1, "SAFE: COILS OFF")
        elif not self.pad.is_door_open():
            self.show_line(1, "DOOR IS SHUT")
        elif not self.pad.is_key_on():
            self.show_line(1, "TURN THE KEY ON")
        else:
            return True
        self.refuse()
        return False

    def pulse(self, coil: int, ms: int) -> bool:
        """One pulse, or HOLD, through the limits; whether it came."""
        return bool(self.may_move_coils() and self.console.coils.fire(coil, ms))

    def move(self, coil: int, ms: int, wait: int, text: str) -> bool:
        """One pulse, or HOLD, and at most `wait` ticks for what it moves; shows `text`, or a refusal."""
        moved = self.pulse(coil, ms)
        if moved:
            self._wait = wait
            self.show_line(1, text)
        elif self.may_move_coils():
            self.show_line(1, "REFUSED")
        return moved

    def tick(self) -> None:
        """Say that nothing came when the wait is over."""
        if self._wait:
            self._wait -= 1
            if not self._wait:
                self.stop()
                self.show_line(1, self.nothing_came)

    def stop(self) -> None:
        """Wait for nothing."""
        self._wait = 0

    def edge(self, switch: int, closed: int) -> None:
        """The key was turned off: every coil goes off."""
        if switch == self.pad.key and not closed:
            self.stop()
            self.console.coils.all_off()
            self.draw()

    def coil(self, name: str) -> int:
        """Number of the coil called so, NONE when there is none."""
        coils = names(self.menu.coils)
        return coils.index(name) if name in coils else NONE

    def switch(self, name: str) -> int:
        """Number of the switch called so, NONE when there is none."""
        switches = self.menu.names.of_switches
        return switches.index(name) if name in switches else NONE


def usual_pulse_ms(row: "CoilRow") -> int:
    """The usual pulse of a row of COILS in ms; a short one for coils that may be held."""
    (ms,) = usual_pulses((row,))
    return 50 if ms == HOLD else ms


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
    from firmware.play.interfaces import CoilRow
