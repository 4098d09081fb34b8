"""The display's ground page: attract, scores in pairs, the player up and the ball."""

from firmware.cabinet.high_scores import BASE, LETTERS
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from firmware.play.pages import CELLS, OVERFLOW, SCORES

PAIR = 2000  # with three or four players the pairs alternate
ATTRACT = 4000  # each page of the attract


class Scoreboard(Feature):
    """Both lines when no other page is up."""

    name = "scoreboard"
    span = PERSISTENT
    chart = (
        ("attract", "game.started", "scores", "refresh"),
        ("attract", "attract.next", None, "next_page"),
        ("scores", "ball.started player.added", None, "refresh"),
        ("scores", "game.over", "over", "refresh"),
        ("over", "game.rested", "attract", "begin_attract"),
    )

    _high_scores: "HighScores | None"
    _credits: "Credits | None"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._page = play.pages.page(SCORES)
        self._turn = self.clock(self._next_pair)
        self._next = self.event("attract.next")
        self._attract = self.clock(self._next.post)
        self._pair = 0
        self._at = 0
        self._page.show()
        self._rollover = self.lamp("rollover")
        play.display_listeners.append(self._refresh)

    def bind(self) -> None:
        """Set-up is over: find high scores and credits, where the game has them."""
        super().bind()
        self._high_scores = self.play.get("high_scores")
        self._credits = self.play.get("credits")

    def show(self) -> None:
        """Light the rollover lamp for a score the display cannot show whole."""
        n = self.play.score.scores[self.play.score.player]
        self._rollover.set(ON if n >= OVERFLOW and self.is_in("scores") else NONE)

    # Actions ---------------------------------------------------------------------------------

    def refresh(self, event: int) -> None:
        """Write everything again; no attract pages."""
        self._attract.stop()
        self.play.score.changed = True

    def begin_attract(self, event: int) -> None:
        """Start the pages of the attract."""
        self._at = 0
        self.next_page(event)

    def next_page(self, event: int) -> None:
        """Title, last scores, the high scores, and round again."""
        self._at = (self._at + 1) % self._pages()
        self.play.score.changed = True

    # Writing ---------------------------------------------------------------------------------

    def _pages(self) -> int:
        return 2 + (len(self._high_scores.scores) if self._high_scores else 0)

    def _next_pair(self) -> None:
        self._pair = 2 - self._pair
        self.play.score.changed = True

    def _refresh(self, everything: bool) -> None:
        """Write everything, or only the score of the player up."""
        score = self.play.score
        n = score.scores[score.player]
        if everything or n >= OVERFLOW:
            self._write()
        elif score.player - self._pair in (0, 1):
            self._page.number(0, 15 if score.player - self._pair else 7, n)
            self._page.show()

    def _write(self) -> None:
        if self.is_in("attract"):
            self._write_attract()
        else:
            self.show()
            self._write_scores()
            if self.is_in("over"):
                self._page.title(1, b"GAME OVER")
            else:
                self._write_turn()
        self._page.show()

    def _write_attract(self) -> None:
        self._attract.start(ATTRACT)
        if self._at == 1 and self.play.players:
            self._write_scores()
        elif self._at > 1:
            self._write_place(self._at - 2)
        else:
            self._page.title(0, self.play.title)
        self._write_price()

    def _write_price(self) -> None:
        page = self._page
        if not self._credits or self._credits.is_free_play():
            page.title(1, b"PRESS START")
        elif self._credits.credits.value:
            page.title(1, b"CREDITS   ")
            page.number(1, 12, self._credits.credits.value)
        else:
            page.title(1, b"INSERT COIN")

    def _write_place(self, place: int) -> None:
        page, high_scores = self._page, self._high_scores
        if not high_scores:
            return
        page.clear(0)
        page.number(0, 0, place + 1)
        packed = high_scores.names[place].value
        for i in range(3):
            page.put(0, 4 - i, LETTERS[packed % BASE])
            packed //= BASE
        page.number(0, CELLS - 1, high_scores.scores[place].value)

    def _write_scores(self) -> None:
        self._choose_pair()
        self._page.clear(0)
        self._score(self._pair, 7)
        self._score(self._pair + 1, 15)

    def _choose_pair(self) -> None:
        if self.play.players <= 2:
            self._pair = 0
            self._turn.stop()
        elif not self._turn.is_running():
            self._turn.start(PAIR)

    def _score(self, player: int, right: int) -> None:
        if player < self.play.players:
            self._page.score(0, right, self.play.score.scores[player])

    def _write_turn(self) -> None:
        page = self._page
        page.clear(1)
        page.write(1, 0, b"PLAYER ")
        page.number(1, 7, self.play.score.player + 1)
        page.write(1, CELLS - 6, b"BALL ")
        page.number(1, CELLS - 1, self.play.ball)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.cabinet.credits import Credits
    from firmware.cabinet.high_scores import HighScores
    from firmware.play.rule_context import RuleContext
