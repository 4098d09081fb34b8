"""Points: every award goes through the scorer, and the trace's ledger lines are its only book."""

from firmware.base.errors import GameError
from firmware.base.numbers import WORD, zeros
from firmware.base.trace import AWARD, BASE, Trace
from firmware.play.memory import PLAYERS


class Award:
    """A named reason for points, worth `points` unless `pay` is given others."""

    def __init__(self, scorer: "Scorer", ident: int, points: int, exempt: bool) -> None:
        self.ident = ident
        self.points = points
        self.exempt = exempt
        self._scorer = scorer

    def pay(self, points: "int | None" = None) -> int:
        """Pay the player up `points`, by default the award's own; returns what was paid, 0 after a tilt.

        Unless it is exempt that is so many points times the factor. Raises GameError when they are negative.
        """
        scorer = self._scorer
        if points is None:
            points = self.points
        elif points < 0:
            raise GameError("award '" + scorer.name(self.ident) + "' was to pay " + str(points) + " points")
        if not scorer.live or not points:
            return 0
        if scorer.latched != 1 and not self.exempt:
            scorer.trace.add(BASE, self.ident, points)
            points *= scorer.latched
        scorer.trace.add(AWARD, self.ident, points)
        scorer.award_counts[self.ident] += 1
        scorer.scores[scorer.player] += points
        scorer.scored = scorer.paid = True
        return points


class Scorer:
    """The players' scores, the running factor, and whether anything scores at all.

    `latched` is the factor as it was before the event in progress: one that it starts counts from the next.
    `changed`: everything the scoreboard shows has to be written again, `scored`: the playing player's score
    has. `paid`: points were paid since the score listeners were last called.
    """

    def __init__(self, trace: Trace) -> None:
        self.scores = zeros(PLAYERS, WORD)
        self.player = 0
        self.live = False
        self.factor = 1
        self._names: list[tuple[str, str]] = []
        self.award_counts: list[int] = []  # how often each award was paid
        self.awards: list[Award] = []
        self.changed = True
        self.scored = self.paid = False
        self.latched = 1
        self.trace = trace

    @property
    def names(self) -> "list[str]":
        """The name of each award as the ledger has it, made anew."""
        return [self.name(at) for at in range(len(self._names))]

    def name(self, award: int) -> str:
        """FEATURE.what; joined when it is asked for, since a board has a hundred of them."""
        feature, what = self._names[award]
        return feature + "." + what

    def award(self, feature: str, what: str, points: int = 0, exempt: bool = False) -> Award:
        """Declare an award of a feature; `exempt` ones are never multiplied."""
        award = Award(self, len(self.awards), points, exempt)
        self.awards.append(award)
        self._names.append((feature, what))
        self.award_counts.append(0)
        return award

    def clear_award_counts(self) -> None:
        """Reset how often each award was paid."""
        for i in range(len(self.award_counts)):
            self.award_counts[i] = 0

    def clear(self) -> None:
        """A new game: every score is 0."""
        for i in range(PLAYERS):
            self.scores[i] = 0
        self.factor = 1
        self.changed = True
