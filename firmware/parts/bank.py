"""A target bank: any order, another target may help, the n-th completion pays more."""

from firmware.parts.lights import Lights
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Bank(Lights):
    """Lights that count how often they were all lit, and pay by that count.

        self.bank = Bank(self, ("frame.1", "frame.2"), pays=(20_000, 40_000), span=PLAYER, counted=BALL)
        chart = (("up", "frame", None, "hit", "not fills"), ("up", "frame", None, "complete", "fills"))
        def hit(self, event): self.bank.light(self.bank.place(event))
        def complete(self, event): self.award.pay(self.bank.complete())
        def help(self, event): self.bank.light(self.bank.lowest_dark())     # another target

    `span` is the lights', `counted` that of the number of completions. After the last of `pays`
    it stays, or with `by_turns` begins again.
    """

    def __init__(
        self,
        feature: Feature,
        switches: "tuple[str, ...]",
        pays: "tuple[int, ...]",
        span: int = BALL,
        counted: int = BALL,
        by_turns: bool = False,
    ) -> None:
        super().__init__(feature, switches, span)
        self._pays = pays
        self._by_turns = by_turns
        self._done = feature.value("completions", 0, counted)

    def completions(self) -> int:
        """How often the bank was completed."""
        return self._done.value

    def complete(self) -> int:
        """All lit: dark again, one more completion; what it pays."""
        self.clear()
        self._done.value += 1
        last = len(self._pays)
        return self._pays[
            (self._done.value - 1) % last if self._by_turns else min(self._done.value, last) - 1
        ]
