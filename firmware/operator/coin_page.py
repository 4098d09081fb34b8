"""Coins: the chutes live, the meter's pulse, the lockout."""

from firmware.operator.coil_moving import NONE, CoilMovingPage, usual_pulse_ms
from firmware.play.requests import HOLD

JAM = 10  # ticks: a coin passes a chute's switch in far less

METER, LOCKOUT, CHUTES = range(3)


class Coins(CoilMovingPage):
    """Less and more choose meter, lockout or chutes; open moves the coil."""

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._meter = self.coil("coin_meter")
        self._lockout = self.coil("coin_lockout")
        self._chutes = [
            i
            for i in range(len(self.menu.names.of_switches))
            if self.menu.names.of_switches[i].startswith("coin.")
        ]
        self._held = False
        self._coins = [0 for _ in self._chutes]
        self._closed = [0 for _ in self._chutes]
        self._jam = ""

    def count(self) -> int:
        """Meter, lockout and every chute."""
        return 2 + len(self._chutes)

    def show(self, at: int) -> None:
        """Write the state of the meter, the lockout or a chute."""
        if at == METER:
            self.show_line(0, "COIN METER")
            self.show_line(1, "OPEN FOR A PULSE" if self._meter != NONE else "NOT WIRED")
        elif at == LOCKOUT:
            self.show_line(0, "COIN LOCKOUT")
            self.show_line(1, ("ON" if self._held else "OFF") if self._lockout != NONE else "NOT WIRED")
        else:
            i = at - CHUTES
            self.show_line(0, self.menu.names.of_switches[self._chutes[i]])
            jammed = self._closed[i] >= JAM
            self.show_line(1, "COIN IS JAMMED" if jammed else f"{self._coins[i]} COINS")

    def open_(self) -> None:
        """Pulse the meter, or hold and release the lockout."""
        if self.at == METER and self._meter != NONE:
            if self.pulse(self._meter, usual_pulse_ms(self.menu.coils[self._meter])):
                self.show_line(1, "ONE PULSE GIVEN")
            elif self.may_move_coils():
                self.show_line(1, "REFUSED")
        elif self.at == LOCKOUT and self._lockout != NONE:
            if self._held:
                self.stop()
                self.draw()
            elif self.pulse(self._lockout, HOLD):
                self._held = True
                self.draw()
        else:
            self.refuse()

    def edge(self, switch: int, closed: int) -> None:
        """Count and sound a coin."""
        super().edge(switch, closed)
        if switch in self._chutes:
            i = self._chutes.index(switch)
            self._coins[i] += closed
            self.at = CHUTES + i
            self.menu.heard.play()
            self.draw()

    def tick(self) -> None:
        """Report a chute that stays closed."""
        for i in range(len(self._chutes)):
            if not self.play.closed[self._chutes[i]]:
                self._closed[i] = 0
            elif self._closed[i] < JAM:
                self._closed[i] += 1
                if self._closed[i] == JAM:
                    self.play.faults.report("coin_jam", self._chutes[i])
                    self.at = CHUTES + i
                    self.draw()

    def stop(self) -> None:
        """Release the lockout."""
        if self._held:
            self._held = False
            self.console.coils.off(self._lockout)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
