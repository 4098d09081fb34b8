"""What pages that move coils share: the door open, the key on, one pulse at a time."""

from firmware.operator.sheet import Rows
from firmware.play.requests import HOLD

NONE = -1


class Driving(Rows):
    """Coils move only while the door is open and the keyed switch is on, and never in safe mode.

    Both are only seen: the switch contacts themselves stand in the coil supply.
    """

    def allowed(self) -> bool:
        """Whether a coil may be moved now; says why not."""
        if self.pad.safe:
            self.say(1, "SAFE: COILS OFF")
        elif not self.pad.is_door_open():
            self.say(1, "DOOR IS SHUT")
        elif not self.pad.is_key_on():
            self.say(1, "TURN THE KEY ON")
        else:
            return True
        self.refuse()
        return False

    def pulse(self, coil: int, ms: int) -> bool:
        """One pulse, or HOLD, through the limits; whether it came."""
        return bool(self.allowed() and self.console.coils.fire(coil, ms))

    def edge(self, switch: int, closed: int) -> None:
        if switch == self.pad.key and not closed:
            self.stop()
            self.console.coils.all_off()
            self.draw()

    def coil(self, name: str) -> int:
        """Number of the coil called so, NONE when there is none."""
        for i in range(len(self.walk.coils)):
            if self.walk.coils[i][0] == name:
                return i
        return NONE

    def switch(self, name: str) -> int:
        """Number of the switch called so, NONE when there is none."""
        names = self.walk.names.of_switches
        return names.index(name) if name in names else NONE


def usual(row: "Any") -> int:
    """The usual pulse of a row of COILS in ms; a short one for coils that may be held."""
    return 50 if row[2] == HOLD else int(row[2])


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
