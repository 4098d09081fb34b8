"""A kickback: one ball kicked out of an outlane, and a moment's grace."""

from firmware.parts.window import Window
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Kickback(Feature):
    """Lit at each ball's start; `save` gives back a drain within the grace.

        class Guard(Kickback):
            name = "guard"
            kick_coil = "kickback"
            insert = "guard"
            chart = (
                ("calm", "outlane.left", "grace", "kick", "lit"),
                ("grace", "outlane.left", None, "kick", "lit"),
                ("grace", "guard.expired", "calm", None),
                ("grace", "guard.given", "calm", "close"),
                (ANY, "standup", None, "light"),
            )

    `grace` is in seconds. The feature's name goes into `SAVERS` of the game.
    """

    span = BALL
    kick_coil: "CoilName | NoName" = ""
    insert: "LampName | NoName" = ""
    grace = 3

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lit = self.value("lit", 1, BALL)
        self._grace = Window(self, seconds=self.grace, insert="again")
        self._kickback = self.coil(self.kick_coil)
        self._given = self.event(self.name + ".given")
        self._lamp = self.lamp(self.insert)
        self._cue = self.cue("kickback")

    def show(self) -> None:
        """Set the insert."""
        self._lamp.set(ON if self._lit.value and self.play.live else NONE)

    def lit(self, event: int) -> bool:
        """Whether the kickback is lit."""
        return bool(self._lit.value)

    def kick(self, event: int) -> None:
        """Pulse the coil and start the grace."""
        self._lit.value = 0
        self._kickback.pulse()
        self._cue.play()
        self._grace.open()

    def light(self, event: int) -> None:
        """Light the kickback."""
        self._lit.value = 1

    def close(self, event: int) -> None:
        """The grace was used."""
        self._grace.close()

    def save(self) -> bool:
        """Whether a ball that just drained is given back."""
        if self.play.tilted or not self.is_in("grace") or not self._grace.remaining_ms():
            return False
        self._grace.close()
        self._given.raise_()
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, LampName, NoName
    from firmware.play.rule_context import RuleContext
