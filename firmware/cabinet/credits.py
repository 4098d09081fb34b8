"""Credits: coins by two chutes, prices by setting, or free play."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

MOST = 30  # beyond this a coin is counted but buys nothing


class Credits(Feature):
    """Coins buy credits, a game costs one a player; in free play nothing does."""

    name = "credits"
    span = PERSISTENT
    chart = (
        ("open", "coin.1", None, "first_chute"),
        ("open", "coin.2", None, "second_chute"),  # meant: a machine may have one chute
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._free = play.settings.get("free_play")
        self._prices = (play.settings.get("coins_1"), play.settings.get("coins_2"))
        self.credits = self.value("credits", 0, PERSISTENT)
        self._coins = (self.value("coins_1", 0, PERSISTENT), self.value("coins_2", 0, PERSISTENT))
        self._meter = self.optional_coil("coin_meter")
        self._knocker = self.optional_coil("knocker")
        self._cue = self.cue("coin")
        self._count = play.counts.declare("credits")
        self._credit_cue = self.cue("credit")
        play.accepts_coins = self.accepts_coins

    def is_free_play(self) -> bool:
        """Whether games cost nothing."""
        return bool(self._free.value)

    def accepts_coins(self) -> bool:
        """Whether a coin would buy something."""
        return not self._free.value and self.credits.value < MOST

    def has_credit(self) -> bool:
        """Whether one more player can play."""
        return bool(self._free.value or self.credits.value)

    def spend(self) -> None:
        """One player plays."""
        if not self._free.value:
            self.credits.value -= 1
            self.play.score.changed = True

    def give(self) -> None:
        """A credit won: a knock, and in free play only a count."""
        self._knocker.pulse()
        self._add()

    def first_chute(self, event: int) -> None:
        """A coin passed chute 1."""
        self._coin(0)

    def second_chute(self, event: int) -> None:
        """A coin passed chute 2."""
        self._coin(1)

    def _coin(self, chute: int) -> None:
        self._meter.pulse()
        self._cue.play()
        coins = self._coins[chute]
        coins.value += 1
        if coins.value >= self._prices[chute].value:
            coins.value = 0
            self._add()

    def _add(self) -> None:
        self._credit_cue.play()
        self.play.counts.add(self._count)
        if not self._free.value:
            self.credits.value = min(self.credits.value + 1, MOST)
            self.play.score.changed = True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
