"""19. Calling: lamps walk up the playfield while nobody plays."""

from firmware.games.honey_flow.shows import CALLING
from firmware.parts.show import Show
from firmware.play.claims import LOW
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Calling(Feature):
    """While nobody plays, lamps walk up the playfield."""

    name = "calling"
    span = PERSISTENT
    chart = (
        ("attract", "game.started", "quiet", None),
        ("quiet", "game.rested", "attract", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._walk = Show(self, CALLING, LOW)

    def show(self) -> None:
        """The show runs in attract."""
        self._walk.keep(self.is_in("attract"))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
