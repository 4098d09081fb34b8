"""6. Smoker bank: three standups that light the Wax Ladder and the guard."""

from firmware.parts.bank import Bank
from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class SmokerBank(Feature):
    """All three smokers pay 15,000, light the Wax Ladder and the guard; the spot target lights one."""

    name = "smoker_bank"
    span = PLAYER
    chart = (
        ("up", "smoker", None, "hit", "not fills"),
        ("up", "smoker", None, "complete", "fills"),
        ("up", "spot", None, "spot", "not spot_fills"),
        ("up", "spot", None, "complete", "spot_fills"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._bank = Bank(self, ("smoker.1", "smoker.2", "smoker.3"), pays=(15_000,), span=PLAYER)
        self._award = self.award("complete", 15_000)
        self._done = self.event("bank.smoker")
        self._cue = self.cue("smoker")

    def show(self) -> None:
        """Set the targets' inserts."""
        self._bank.show()

    def fills(self, event: int) -> bool:
        """Whether this target completes the bank."""
        return self._bank.would_fill(self._bank.place(event))

    def spot_fills(self, event: int) -> bool:
        """Whether the spot target's help completes the bank."""
        return self._bank.would_fill(self._bank.lowest_dark())

    def hit(self, event: int) -> None:
        """Light the target that was hit."""
        self._bank.light(self._bank.place(event))

    def spot(self, event: int) -> None:
        """The spot target lights the first dark one."""
        self._bank.light(self._bank.lowest_dark())

    def complete(self, event: int) -> None:
        """Pay the bank and light the guard."""
        self._cue.play()
        self.news(b"SMOKER BANK", self._award.pay(self._bank.complete()))
        self._done.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
