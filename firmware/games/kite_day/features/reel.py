"""3. Reel: a spinner that is worth twenty times as much for a time."""

from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.memory import BALL

LIT = 200


class Reel(Feature):
    """A turn of the reel pays 10; the left return lane lights it for 10 seconds, at 200 a turn."""

    name = "reel_out"
    span = BALL
    chart = (
        ("dark", "reel", None, "turn"),
        ("dark", "return.left", "lit", "open"),
        ("lit", "reel", None, "lit_turn"),
        ("lit", "return.left", None, "open"),
        ("lit", "reel_out.expired", "dark", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._window = Window(self, seconds=10, insert="reel")
        self._award = self.award("turn", 10)
        self._lit_award = self.award("lit_turn", LIT)
        self._ten = self.cue("ten")
        self._hundred = self.cue("hundred")
        self._cue = self.cue("reel_lit")

    def open(self, event: int) -> None:
        """The left return lane: 10 s from now on."""
        self._window.open()
        self._cue.play()

    def turn(self, event: int) -> None:
        """A turn of the dark reel."""
        self._award.pay()
        self._ten.play()

    def lit_turn(self, event: int) -> None:
        """A turn of the lit reel."""
        self._lit_award.pay()
        self._hundred.play()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
