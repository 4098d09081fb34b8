"""Ball search: when a free ball closes no switch for a time, one coil after another is tried."""

from firmware.base import ticks
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

QUIET = 15_000  # ms without a playfield switch while a ball is free
PUT_OFF = 60_000  # held flippers put it off, until then
LOOK = 250  # also the time from coil to coil
PAUSE = 30_000
ROUNDS = 3
TIMES = 3


class BallSearch(Feature):
    """Three rounds of coils, a pause, three times; then the ball is given up and play goes on.

    The game's `SEARCH` lists (coil, first round, feature): the feature behind the coil, if any, allows it
    by `may_search`. Never while a ball waits in the shooter lane.
    """

    name = "ball_search"
    span = PERSISTENT
    chart = (
        ("idle", "ball.away", "watching", "begin"),
        ("watching", "ball.away", None, "begin"),
        ("watching", "search.look", "searching", "first", "is_due"),
        ("watching", "search.look", None, "look_again", "not is_due"),
        ("searching", "playfield", "watching", "begin"),
        ("searching", "search.look", "watching", "begin", "is_heard"),
        ("searching", "search.look", None, "next_coil", "more"),
        ("searching", "search.look", "pausing", "pause", "pauses"),
        ("searching", "search.look", "watching", "give_up", "is_over"),
        ("pausing", "playfield", "watching", "begin"),
        ("pausing", "search.look", "searching", "round_again"),
        ("watching", "ball.home game.over", "idle", "stop"),
        ("searching", "ball.home game.over", "idle", "stop"),
        ("pausing", "ball.home game.over", "idle", "stop"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        rows = play.wiring.SEARCH
        self._coils = [self.coil(coil) for coil, _round, _hole in rows]
        self._from = [first for _coil, first, _hole in rows]
        self._holes = [hole for _coil, _round, hole in rows]
        self._look = self.event("search.look")
        self._clock = self.clock(self._look.post)
        self._lane = play.switch("lane", self.name)
        self._buttons = (play.switch("button.left", self.name), play.switch("button.right", self.name))
        self._at = 0
        self._round = 0
        self._times = 0
        self._since = 0
        self._page_cue = self.cue("search")

    def bind(self) -> None:
        """Set-up is over: find the trough and the features behind the coils."""
        super().bind()
        self._trough = self.play.find("trough")
        self._keepers = [self.play.find(name) if name else None for name in self._holes]

    def quiet(self) -> int:
        """Milliseconds without a sign of a free ball."""
        now = self.play.trace.now
        return min(ticks.diff(now, self.play.heard_at), ticks.diff(now, self._since))

    # Guards ----------------------------------------------------------------------------------

    def is_heard(self, event: int) -> bool:
        """Whether a device or another switch closed meanwhile."""
        return self.quiet() < QUIET or not self._may()

    def is_due(self, event: int) -> bool:
        """Whether the free balls have been silent for long enough to search now."""
        quiet = self.quiet()
        closed = self.play.closed
        flippers = closed[self._buttons[0]] or closed[self._buttons[1]]
        return self._may() and quiet >= QUIET and (not flippers or quiet >= PUT_OFF)

    def more(self, event: int) -> bool:
        """Whether this search has coils left to try."""
        return self._at < len(self._coils) or self._round < ROUNDS

    def pauses(self, event: int) -> bool:
        """Whether the rounds are over and a pause and further rounds follow."""
        return not self.more(event) and self._times < TIMES - 1

    def is_over(self, event: int) -> bool:
        """Whether every round was tried in vain."""
        return not self.more(event) and self._times >= TIMES - 1

    # Actions ---------------------------------------------------------------------------------

    def begin(self, event: int) -> None:
        """A sign of the ball: wait for QUIET ms of silence again."""
        self._since = self.play.trace.now
        self._times = 0
        self._clock.start(QUIET)

    def look_again(self, event: int) -> None:
        """Check again at the earliest moment a search could be due."""
        if not self._may():
            self._since = self.play.trace.now
        left = QUIET - self.quiet()
        self._clock.start(left if left > LOOK else LOOK)

    def first(self, event: int) -> None:
        """Start the first rounds, with their sound."""
        self._page_cue.play()
        self._begin_rounds()

    def round_again(self, event: int) -> None:
        """Start the next rounds after a pause."""
        self._times += 1
        self._begin_rounds()

    def next_coil(self, event: int) -> None:
        """Pulse one coil; those that must wait for a later round are skipped."""
        if self._at == len(self._coils):
            self._at = 0
            self._round += 1
        while self._at < len(self._coils):
            at = self._at
            self._at += 1
            keeper = self._keepers[at]
            if keeper is None or keeper.may_search(self._round >= self._from[at]):
                self._coils[at].pulse()
                break
        self._clock.start(LOOK)

    def pause(self, event: int) -> None:
        """Wait PAUSE ms until the next rounds."""
        self._clock.start(PAUSE)

    def give_up(self, event: int) -> None:
        """Report the missing balls and go on without them."""
        self.play.faults.report("ball_missing")
        self._trough.write_off(self.play.free)
        self.begin(event)

    def stop(self, event: int) -> None:
        """No ball is free: nothing to search for."""
        self._clock.stop()

    def _begin_rounds(self) -> None:
        self._at = 0
        self._round = 1
        self.next_coil(0)

    def _may(self) -> bool:
        return self.play.free > 0 and not self.play.closed[self._lane]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
