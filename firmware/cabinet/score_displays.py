"""Numbers alone: a display for each player's score, and a small one for credits, ball and match."""

from firmware.base.errors import GameError
from firmware.cabinet.match import Match
from firmware.play import rows
from firmware.play.claims import CABINET, NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from firmware.play.number_pages import NumberPages

ATTRACT = 4000  # last scores, best score, in turn
NO_MATCH = -1
SCORE, COUNT = "score", "count"  # what a row of DISPLAYS shows
TENS = 10


class ScoreDisplays(Feature):
    """Each score on its player's display; the small one shows credits in attract, the ball, then the match.

    Needs DISPLAYS in the wiring (see play.number_pages). Lamp `up.N`, where wired, is the player up's.
    """

    name = "scoreboard"
    span = PERSISTENT
    chart = (
        ("attract", "game.started", "scores", "refresh"),
        ("attract", "attract.next", None, "next_page"),
        ("scores", "ball.started player.added", None, "refresh"),
        ("scores", "game.over", "over", "refresh"),
        ("over", "game.rested", "attract", "begin_attract"),
    )

    _best: "BestScore | None"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        play.news = self
        if not isinstance(play.pages, NumberPages):
            raise GameError("scores are on displays of their own, but wiring.py has no DISPLAYS")
        self._numbers = play.pages.numbers
        shown = rows.shown(play.pages.displays)
        self._scores = [i for i in range(len(shown)) if shown[i] == SCORE]
        self._counts = [i for i in range(len(shown)) if shown[i] == COUNT]
        names = ["up." + str(i + 1) for i in range(len(self._scores))]
        self._up = [self.lamp(name, CABINET) for name in names if name in play.lamps.names]
        self._next = self.event("attract.next")
        self._attract = self.clock(self._next.post)
        self._shows_best = False
        self._match = NO_MATCH
        play.display_listeners.append(self._refresh)

    def bind(self) -> None:
        """Set-up is over: find the best score, where the game has one, and the credits."""
        super().bind()
        self._best = self.play.get("best_score")
        self._credits = self.play.find("credits")

    def show(self) -> None:
        """Set the lamps of the player up."""
        up = self.play.score.player if self.is_in("scores") else -1
        for player in range(len(self._up)):
            self._up[player].set(ON if player == up else NONE)

    def announce(self, title: bytes, points: int) -> None:
        """News have no place on a display of numbers."""

    def show_match(self, number: int) -> None:
        """The two digits that were drawn, until the attract begins."""
        self._match = number
        self.play.score.changed = True

    # Actions ---------------------------------------------------------------------------------

    def refresh(self, event: int) -> None:
        """Write everything again; the attract is over."""
        self._attract.stop()
        self._shows_best = False
        self.play.score.changed = True

    def begin_attract(self, event: int) -> None:
        """Start with the last scores."""
        self._match = NO_MATCH
        self._shows_best = True
        self.next_page(event)

    def next_page(self, event: int) -> None:
        """Last scores or best score, in turn."""
        self._shows_best = self._best is not None and not self._shows_best
        self._attract.start(ATTRACT)
        self.play.score.changed = True

    # Writing ---------------------------------------------------------------------------------

    def _refresh(self, everything: bool) -> None:
        """Write every display, or only the score of the player up."""
        if everything:
            self._write()
        else:
            self._write_score(self.play.score.player)

    def _write(self) -> None:
        self.show()
        for player in range(len(self._scores)):
            self._write_score(player)
        for display in self._counts:
            self._write_count(display)

    def _write_score(self, player: int) -> None:
        if player >= len(self._scores):
            return
        display = self._scores[player]
        if self._shows_best and self._best:
            self._numbers.show(display, self._best.best.value)
        elif player < max(self.play.players, 1):
            self._numbers.show(display, self.play.score.scores[player])
        else:
            self._numbers.blank(display)

    def _write_count(self, display: int) -> None:
        if self.is_in("scores"):
            self._numbers.show(display, self.play.ball)
        elif self._match != NO_MATCH:
            self._numbers.show(display, self._match, 2)
        elif self.is_in("over") or self._credits.is_free_play():
            self._numbers.blank(display)
        else:
            self._numbers.show(display, self._credits.credits.value)


class MatchNumber(Match):
    """The match, on the small display."""

    def bind(self) -> None:
        """Set-up is over: find the displays."""
        super().bind()
        self._displays = self.play.find("scoreboard")

    def _write(self) -> None:
        self._displays.show_match(self.drawn.value * TENS)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.cabinet.best_score import BestScore
    from firmware.play.rule_context import RuleContext
