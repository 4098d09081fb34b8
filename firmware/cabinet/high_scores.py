"""High scores: four places, three letters each, entered with the flipper buttons and start."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from firmware.play.pages import COUNT

PLACES = 4
LETTERS = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ "
PATIENCE = 30_000  # ms without a button until the name is taken as it is
FIRST = (2_000_000, 1_500_000, 1_000_000, 500_000)
NOBODY = 0  # three letters packed to base 32, here AAA
BASE = 32


class HighScores(Feature):
    """A score that reaches one of four places asks for three letters."""

    name = "high_scores"
    span = PERSISTENT
    chart = (
        ("idle", "match.done", "looking", "begin"),
        ("looking", None, "entering", "ask", "reaches"),
        ("looking", None, "looking", "pass_over", "not_reaching"),
        ("looking", None, "idle", "finish", "all_seen"),
        ("entering", "button.left", None, "back"),
        ("entering", "button.right", None, "on"),
        ("entering", "start", None, "accept", "not last_letter"),
        ("entering", "start", "looking", "enter", "last_letter"),
        ("entering", "initials.expired", "looking", "enter"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.scores = [self.value("score_" + str(i + 1), FIRST[i], PERSISTENT) for i in range(PLACES)]
        self.names = [self.value("name_" + str(i + 1), NOBODY, PERSISTENT) for i in range(PLACES)]
        self._closed = self.event("game.closed")
        self._late = self.event("initials.expired")
        self._clock = self.clock(self._late.post)
        self._page = play.pages.page(COUNT)
        self._cue = self.cue("letter")
        self._place_cue = self.cue("high_score")
        self._player = 0
        self._place = 0
        self._letters = bytearray(3)
        self._at = 0

    # Guards ----------------------------------------------------------------------------------

    def reaches(self, event: int) -> bool:
        """Whether the player's score takes one of the places."""
        return self._player < self.play.players and self._rank() < PLACES

    def not_reaching(self, event: int) -> bool:
        """Whether there is a player left whose score takes no place."""
        return self._player < self.play.players and self._rank() >= PLACES

    def all_seen(self, event: int) -> bool:
        """Whether every player's score was compared."""
        return self._player >= self.play.players

    def last_letter(self, event: int) -> bool:
        """Whether the letter being chosen is the last one."""
        return self._at == len(self._letters) - 1

    # Actions ---------------------------------------------------------------------------------

    def begin(self, event: int) -> None:
        """Start with the first player; after a slam nobody enters a name."""
        self._player = 0 if self.play.engine.value else self.play.players

    def ask(self, event: int) -> None:
        """Ask the player for a name, from the first letter on."""
        self._place = self._rank()
        self._at = 0
        for i in range(len(self._letters)):
            self._letters[i] = 0
        self._place_cue.play()
        self._write()

    def pass_over(self, event: int) -> None:
        """Go on to the next player."""
        self._player += 1

    def back(self, event: int) -> None:
        """The letter before in the alphabet."""
        self._turn(len(LETTERS) - 1)

    def on(self, event: int) -> None:
        """The next letter in the alphabet."""
        self._turn(1)

    def accept(self, event: int) -> None:
        """Take the letter, choose the next one."""
        self._at += 1
        self._letters[self._at] = self._letters[self._at - 1]
        self._cue.play()
        self._write()

    def enter(self, event: int) -> None:
        """Those below move down one place."""
        for i in range(PLACES - 1, self._place, -1):
            self.scores[i].value = self.scores[i - 1].value
            self.names[i].value = self.names[i - 1].value
        self.scores[self._place].value = self.play.score.scores[self._player]
        first, second, third = self._letters
        self.names[self._place].value = (first * BASE + second) * BASE + third
        self._page.hide()
        self._clock.stop()
        self._player += 1

    def finish(self, event: int) -> None:
        """Every player's score was compared: the game is closed."""
        self._closed.raise_()

    def _rank(self) -> int:
        """The place (0 …) the score of the player in question takes; PLACES when none."""
        score = self.play.score.scores[self._player]
        place = PLACES
        while place and score > self.scores[place - 1].value:
            place -= 1
        return place

    def _turn(self, by: int) -> None:
        self._letters[self._at] = (self._letters[self._at] + by) % len(LETTERS)
        self._cue.play()
        self._write()

    def _write(self) -> None:
        page = self._page
        page.clear(0)
        page.write(0, 0, b"PLAYER")
        page.number(0, 7, self._player + 1)
        page.write(0, 10, b"PLACE")
        page.put(0, 15, 49 + self._place)
        page.clear(1)
        page.write(1, 0, b"YOUR NAME")
        for i in range(len(self._letters)):
            letter = LETTERS[self._letters[i]]
            if i > self._at:
                letter = 45
            elif i == self._at and letter == 32:
                letter = 95
            page.put(1, 11 + i, letter)
        page.show()
        self._clock.start(PATIENCE)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
