"""8. Frames bank: four standups that light, in turn, the seal and the lock."""

from firmware.parts.bank import Bank
from firmware.play.feature import Feature
from firmware.play.memory import PLAYER

EXTRA_BALL_AT = 3


class FramesBank(Feature):
    """All four frames light the seal (20,000) and the lock (40,000) by turns; the third an extra ball."""

    name = "frames_bank"
    span = PLAYER
    chart = (
        ("up", "frame", None, "hit", "not fills"),
        ("up", "frame", None, "complete", "fills"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._bank = Bank(
            self,
            ("frame.1", "frame.2", "frame.3", "frame.4"),
            pays=(0,),
            span=PLAYER,
            counted=PLAYER,
        )
        self._odd = self.award("odd", 20_000)
        self._even = self.award("even", 40_000)
        self._seal = self.event("seal.light")
        self._lock = self.event("lock.light")
        self._extra_ball = self.event("extra_ball.light")
        self._cue = self.cue("frames")

    def show(self) -> None:
        """Set the targets' inserts."""
        self._bank.show()

    def report(self, page: "Page") -> bool:
        """Write how many banks are done."""
        page.title(0, b"FRAMES DONE")
        page.clear(1)
        page.number(1, 8, self._bank.completions())
        return True

    def fills(self, event: int) -> bool:
        """Whether this target completes the bank."""
        return self._bank.would_fill(self._bank.place(event))

    def hit(self, event: int) -> None:
        """Light the target that was hit."""
        self._bank.light(self._bank.place(event))

    def complete(self, event: int) -> None:
        """Pay the bank; light seal and lock by turns, the extra ball once."""
        self._bank.complete()
        done = self._bank.completions()
        self._cue.play()
        if done % 2:
            self.news(b"FRAMES SEAL LIT", self._odd.pay())
            self._seal.raise_()
        else:
            self.news(b"FRAMES LOCK LIT", self._even.pay())
            self._lock.raise_()
        if done == EXTRA_BALL_AT:
            self._extra_ball.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
