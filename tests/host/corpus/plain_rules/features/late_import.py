"""Imports inside functions, of a module and of a name; constants of modules, and one that is reassigned."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

BASE = 40
STEP = BASE // 4
_hits = 0


class LateImport(Feature):
    """A hit pays by a table that is first imported then, and counts in a variable of the module."""

    name = "late_import"
    chart = ((ANY, "late_import", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        global _hits
        _hits = 0
        self._award = self.award("paid")

    def hit(self, event: int) -> None:
        global _hits
        from plain_rules.tariff import RATE, rated

        _hits += 1
        self._award.pay(rated(BASE + STEP * _hits))
        self._award.pay(RATE * 1_000 * self._kept())

    def _kept(self) -> int:
        import plain_rules.tariff as tariff

        tariff.asked += 1
        return tariff.asked - tariff.asked + 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
