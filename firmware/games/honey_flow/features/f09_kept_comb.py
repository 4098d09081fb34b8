"""9. Kept comb: the seal keeps a ball's cells for the next."""

from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class KeptComb(Feature):
    """The lit seal keeps up to 60 cells for the next ball; on the last ball the bonus counts twice."""

    name = "kept_comb"
    span = PLAYER
    chart = (
        ("open", "seal.light", "sealed", None),
        ("sealed", "seal.used", "open", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._used = self.event("seal.used")
        self._lamp = self.lamp("seal")

    def show(self) -> None:
        """Set the seal's insert."""
        self._lamp.set(ON if self.is_in("sealed") else NONE)

    def use(self) -> bool:
        """Whether the seal was lit; it goes dark."""
        if not self.is_in("sealed"):
            return False
        self._used.raise_()
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
