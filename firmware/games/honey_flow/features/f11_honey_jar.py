"""11. Honey Jar: the pot."""

from firmware.games.honey_flow.shows import POURING
from firmware.parts.pot import Pot
from firmware.parts.show import Show
from firmware.play.claims import NONE, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

BUMPER = 1_000
LANE = 5_000


class HoneyJar(Feature):
    """The jar grows with every bumper and bee lane, from game to game, until a dance or a Swarm wins it."""

    name = "honey_jar"
    span = PERSISTENT
    chart = (
        ("on", "meadow", None, "drop"),
        ("on", "bee", None, "spoon"),
        ("on", "game.started", None, "open_game"),
        ("on", "jar.win", None, "win"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._jar = Pot(self, reset=400_000, floor=800_000, cap=5_000_000)
        self._award = self.award("won", exempt=True)
        self._lamp = self.lamp("jar")
        self._cue = self.cue("jar")
        self._pouring = Show(self, POURING, rounds=2)

    def show(self) -> None:
        """Blink the jar when it is worth its floor or more."""
        self._lamp.set(SLOW if self.play.live and self._jar.worth() >= self._jar.floor else NONE)

    def report(self, page: "Page") -> bool:
        """Write what the jar is worth."""
        page.title(0, b"HONEY JAR")
        page.clear(1)
        page.number(1, 12, self._jar.worth())
        return True

    def drop(self, event: int) -> None:
        """A bumper adds a little."""
        self._jar.grow(BUMPER)

    def spoon(self, event: int) -> None:
        """A bee lane adds more."""
        self._jar.grow(LANE)

    def open_game(self, event: int) -> None:
        """A game starts: the jar is worth its floor at least."""
        self._jar.open_game()

    def win(self, event: int) -> None:
        """Pay the jar; it starts again."""
        self._cue.play()
        self._pouring.play()
        self.news(b"HONEY JAR", self._award.pay(self._jar.collect()))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
