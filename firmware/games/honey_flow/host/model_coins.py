"""Credits by rules.md: bought, won and used."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

MOST_CREDITS = 30


class Coins:
    """Credits, and coins on their way to one."""

    def __init__(self, table: "RuleTable") -> None:
        self._table = table
        self._free = table.settings["free_play"] == 1
        self._coins = {"coin.1": 0, "coin.2": 0}
        self.credits = 0
        self._saved: int | None = None

    def edge(self, switch: str) -> None:
        """A coin fell: every price of its chute is a credit."""
        if switch not in self._coins or self._free:
            return
        self._coins[switch] += 1
        if self._coins[switch] >= self._table.settings["coins_" + switch[-1]]:
            self._coins[switch] = 0
            self._add()

    def win(self) -> None:
        """A credit is won; in free play it is a knock."""
        if not self._free:
            self._add()

    def are_enough(self) -> bool:
        """Whether one more may play."""
        return self._free or self.credits > 0

    def use(self) -> None:
        """A player starts."""
        if self._free:
            return
        if not self.credits:
            self._table.object("credits", "no game without a credit", "a player starts")
        self.credits = max(0, self.credits - 1)

    def saved(self, credits: int) -> None:
        """So many credits were saved."""
        self._saved = credits

    def judge(self) -> None:
        """The millisecond is over: what was saved in it must be what there is."""
        if self._saved is not None and self._saved != self.credits:
            self._table.object("credits", f"{self.credits}", f"{self._saved}")
        self._saved = None

    def _add(self) -> None:
        self.credits = min(MOST_CREDITS, self.credits + 1)
