"""The match: one draw a game against each player's last two digits."""

from firmware.charts.model import after
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from firmware.play.pages import COUNT

SHOWN = 3000
ENDINGS = 10  # every score is a multiple of 10: 00, 10 … 90
HUNDRED = 100


class Match(Feature):
    """Each player's last two digits are drawn with the chance that is set; a match is a credit."""

    name = "match"
    span = PERSISTENT
    chart = (
        ("idle", "game.over", "shown", "draw", "wanted"),
        ("idle", "game.over", None, "pass_on", "not wanted"),
        ("shown", after(SHOWN), "idle", "hide"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._chance = play.stream()
        self._percent = play.settings.get("match")
        self._done = self.event("match.done")
        self._page = play.pages.page(COUNT)
        self._cue = self.cue("match")
        self.drawn = self.value("drawn", 0, PERSISTENT)

    def bind(self) -> None:
        """Set-up is over: find the credits."""
        super().bind()
        self._credits = self.play.find("credits")

    def wanted(self, event: int) -> bool:
        """A game that was slammed has no players left."""
        return bool(self._percent.value and self.play.engine.value)

    def pass_on(self, event: int) -> None:
        """No match: raise `match.done` with the number of players."""
        self._done.raise_(self.play.engine.value)

    def draw(self, event: int) -> None:
        """Draw an ending, show it, give a credit to each player who holds it."""
        held = 0
        for player in range(self.play.players):
            held |= 1 << self._ending(player)
        self.drawn.value = self._draw(held)
        self._write()
        for player in range(self.play.players):
            if self._ending(player) == self.drawn.value:
                self._cue.play()
                self._credits.give()

    def hide(self, event: int) -> None:
        """The page was shown for long enough."""
        self._page.hide()
        self._done.raise_(self.play.players)

    def _write(self) -> None:
        self._page.title(0, b"MATCH")
        self._page.clear(1)
        self._page.number(1, 7, self.drawn.value)
        self._page.write(1, 8, b"0")
        self._page.show()

    def _ending(self, player: int) -> int:
        return self.play.score.scores[player] // 10 % 10

    def _draw(self, held: int) -> int:
        """An ending: each one held with the set chance, the others share the rest."""
        count = 0
        for ending in range(ENDINGS):
            count += held >> ending & 1
        hit = self._chance.below(HUNDRED) < min(self._percent.value * count, HUNDRED)
        if hit or count == ENDINGS:
            return self._pick(held, count)
        return self._pick(~held, ENDINGS - count)

    def _pick(self, among: int, count: int) -> int:
        left = self._chance.below(count)
        for ending in range(ENDINGS):
            if among >> ending & 1:
                if not left:
                    return ending
                left -= 1
        raise ValueError("match: nothing to pick from")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
