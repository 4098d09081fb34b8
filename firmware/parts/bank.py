"""A target bank: any order, another target may help, the n-th completion pays more."""

from firmware.parts.lights import Lights
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Bank(Lights):
    """Lights that count how often they were all lit, and pay by that count.

        class Targets(Feature):
            name = "targets"
            chart = (
                ("up", "bank", None, "hit", "not fills"),
                ("up", "bank", None, "complete", "fills"),
                ("up", "standup", None, "help", "not helps_out"),
                ("up", "standup", None, "complete", "helps_out"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("made")
                self._bank = Bank(self, ("bank.1", "bank.2", "bank.3"), pays=(20_000, 40_000))

            def show(self): self._bank.show()
            def fills(self, event): return self._bank.would_fill(self._bank.place(event))
            def hit(self, event): self._bank.light(self._bank.place(event))
            def complete(self, event): self._award.pay(self._bank.complete())
            def helps_out(self, event): return self._bank.would_fill(self._bank.lowest_dark())
            def help(self, event): self._bank.light(self._bank.lowest_dark())

    `span` is the lights', `counted` that of the number of completions. After the last of `pays`
    it stays, or with `by_turns` begins again. The lamps have the names of the switches.
    """

    def __init__(
        self,
        feature: Feature,
        switches: "tuple[SwitchName, ...]",
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


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import SwitchName
