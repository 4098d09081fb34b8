"""The display's ground page: scores in pairs, the player up and the ball."""

from firmware.play.feature import Feature
from firmware.play.memory import KEPT
from firmware.play.pages import CELLS, SCORES

PAIR = 2000  # with three or four players the pairs alternate
SHOWN = 100_000_000  # the display shows the last eight digits


class Scoreboard(Feature):
    """Both lines when nothing else is to be said."""

    name = "scoreboard"
    span = KEPT
    chart = (
        ("idle", "game.started", "scores", "refresh"),
        ("scores", "ball.started", None, "refresh"),
        ("scores", "player.added", None, "refresh"),
        ("scores", "game.over", "over", "refresh"),
        ("over", "game.started", "scores", "refresh"),
    )

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._page = play.pages.page(SCORES)
        self._turn = self.clock(self._next_pair)
        self._pair = 0
        self._title: bytes = play.title
        self._page.show()
        self._rollover = self.lamp("rollover")
        play.refreshers.append(self._when_changed)

    def show(self) -> None:
        n = self.play.score.scores[self.play.score.player]
        self._rollover.set(1 if n >= SHOWN and self.inside("scores") else 0)

    def refresh(self, event: int) -> None:
        self.play.score.changed = True

    def _next_pair(self) -> None:
        self._pair = 2 - self._pair
        self.play.score.changed = True

    def _when_changed(self) -> None:
        if self.play.score.changed:
            self.play.score.changed = False
            self._write()

    def _write(self) -> None:
        if self.inside("idle"):
            self._page.title(0, self._title)
            self._page.title(1, b"PRESS START")
        else:
            self.show()
            self._choose_pair()
            self._page.clear(0)
            self._score(self._pair, 7)
            self._score(self._pair + 1, 15)
            self._second_line()
        self._page.show()

    def _choose_pair(self) -> None:
        if self.play.players <= 2:
            self._pair = 0
            self._turn.stop()
        elif not self._turn.running():
            self._turn.start(PAIR)

    def _score(self, player: int, right: int) -> None:
        if player < self.play.players:
            self._page.number(0, right, self.play.score.scores[player] % SHOWN)

    def _second_line(self) -> None:
        page = self._page
        page.clear(1)
        if self.inside("over"):
            page.title(1, b"GAME OVER")
            return
        page.write(1, 0, b"PLAYER ")
        page.number(1, 7, self.play.score.player + 1)
        page.write(1, CELLS - 6, b"BALL ")
        page.number(1, CELLS - 1, self.play.ball)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
