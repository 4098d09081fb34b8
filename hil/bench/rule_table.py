"""Time, ledger and chance for a game's independent model of its rules (host/model.py)."""

from collections import Counter
from collections.abc import Callable
from typing import NamedTuple

from hil.bench.rule_window import Window

TROUGH = ("trough.1", "trough.2", "trough.3")
TROUGH_COIL = "trough_eject"
AWAY = "ball.away"
STILL_MS = 500  # the trough's balls rest
LATE_MS = 300  # the trough's contact opens at most so long after the lane has the ball
TOLERANCE_MS = 60  # how near to a window's end the game's word is taken; a model may say another


class Payment(NamedTuple):
    """An award: its name, points with the factor, player from 1."""

    award: str
    points: int
    player: int


class Due(NamedTuple):
    """An action that was put off until a time in ms."""

    at_ms: int
    action: Callable[[], None]


class RuleTable:
    """One run as a model sees it. `free`: how many balls are free; `paid`: what the sheet gives now."""

    def __init__(self, settings: dict[str, int], tolerance_ms: int = TOLERANCE_MS) -> None:
        self.tolerance_ms = tolerance_ms
        self.now = 0
        self.free = len(TROUGH)  # until their switches show them
        self.settings = settings
        self.player = 0
        self.scores: Counter[int] = Counter()
        self.paid: list[Payment] = []
        self.owed: Counter[Payment] = Counter()
        self._owed_at: dict[Payment, int] = {}
        self.seen: list[Payment] = []
        self.shown: Counter[str] = Counter()  # of the model's RECORDS
        self.expected: Counter[str] = Counter()
        self.objections: list[tuple[str, str, str]] = []
        self._chance: dict[str, int] = {}
        self._factor = 1
        self.trough_moved_at = 0
        self._served = 0  # balls between trough and shooter lane
        self._left_lane_at = -1
        self._is_ejecting = False
        self._rested = 0  # balls in the trough when its coil fired
        self._arrived_at = -LATE_MS  # when a ball came to the shooter lane that the trough shows still
        self._windows: list[Window] = []
        self._later: list[Due] = []
        self._closed: set[str] = set()

    @property
    def score(self) -> int:
        """Points of the player whose ball it is."""
        return self.scores[self.player]

    def window(self, name: str, late: Callable[[], None] | None = None, unshown: int = 0) -> Window:
        """A new window, at whose end the run shows the event `name` and `late` is called.

        `unshown`: it counts so many ms longer than it is lit.
        """
        made = Window(self, name, late, unshown)
        self._windows.append(made)
        return made

    def start_ball(self, player: int) -> None:
        """A player's ball starts, and the model makes new windows."""
        self.player = player
        self._windows.clear()

    def event(self, name: str) -> None:
        """The run shows an event: the end of a window, or a ball that went past the shooter lane's switch."""
        if name == AWAY:
            self._away()
        for window in self._windows:
            if window.name == name:
                window.expired()

    def on_playfield(self) -> None:
        """A playfield switch closed: at least one ball is free; which, is seen when the trough is still."""
        if not self._is_under_way() or self._is_still():
            self.free = max(1, self.free)

    def all_home(self) -> None:
        """Every ball is in a device."""
        self.free = self._served = 0

    def later(self, at_ms: int, action: Callable[[], None]) -> None:
        """Call `action` at a time, whether or not a ball is free."""
        self._later.append(Due(at_ms, action))

    def advance(self, to_ms: int) -> None:
        """Let time pass: windows run, and what was put off comes due in order."""
        while True:
            due = [one for one in self._later if one.at_ms <= to_ms]
            if not due:
                break
            first = min(due, key=lambda one: one.at_ms)
            self._later.remove(first)
            self._run(first.at_ms)
            first.action()
        self._run(to_ms)

    def _run(self, to_ms: int) -> None:
        if self.free > 0:
            for window in self._windows:
                window.run(to_ms - self.now)
        self.now = to_ms

    def contact(self, switch: str, closed: bool) -> None:
        """Record a debounced edge; what the shooter lane and the trough show changes `free`."""
        (self._closed.add if closed else self._closed.discard)(switch)
        if switch == "lane":
            self._lane(closed)
        elif switch in TROUGH:
            self.trough_moved_at = self.now
            self._trough(closed)

    def _away(self) -> None:
        if self._served > 0 and self._left_lane_at != self.now and not self.closed("lane"):
            self._served -= 1
            self.free += 1

    def pulse(self, coil: str) -> None:
        """A coil fired."""
        if coil == TROUGH_COIL:
            self._is_ejecting = True
            self._rested = self.in_trough()

    def _lane(self, closed: bool) -> None:
        if not closed:
            self._left_lane_at = self.now
            self.free += 1
            return
        if self._served > 0:
            self._served -= 1
        else:
            self.free -= 1
            if self._is_ejecting:
                self._arrived_at = self.now
        self._is_ejecting = False

    def _trough(self, closed: bool) -> None:
        self.later(self.now + STILL_MS, self._still)
        if closed:
            self.free -= 1
        elif self.now - self._arrived_at < LATE_MS:
            self._arrived_at = -LATE_MS
            self.free += 1
        else:
            self._served += 1

    def _still(self) -> None:
        """A ball that left the trough and did not reach the lane fell back, as its switches show."""
        if self._is_under_way() and self._is_still() and self.in_trough() >= self._rested:
            self._served -= 1
            self.free += 1

    def _is_under_way(self) -> bool:
        return self._is_ejecting and self._served > 0

    def _is_still(self) -> bool:
        return self.now - self.trough_moved_at >= STILL_MS

    def closed(self, switch: str) -> bool:
        """Whether a debounced switch is closed."""
        return switch in self._closed

    def in_trough(self) -> int:
        """How many balls the trough's switches show."""
        return sum(self.closed(switch) for switch in TROUGH)

    def latch_factor(self, doubling: Window) -> None:
        """Awards from here on are doubled if this window is open now."""
        self._factor = 2 if doubling.active else 1

    def pay(self, award: str, points: int, doubled: bool = True) -> None:
        """The sheet gives an award now; `doubled`: by the factor."""
        points *= self._factor if doubled else 1
        self.paid.append(Payment(award, points, self.player))
        self.scores[self.player] += points

    def expect(self, record: str) -> None:
        """The run must show an event or cue ("cue jar") now, which is one of the model's RECORDS."""
        self.expected[record] += 1

    def shows(self, record: str) -> bool:
        """Whether the run shows one of the model's RECORDS now, oftener than it was expected so far."""
        return self.shown[record] > self.expected[record]

    def owe(self, award: str, points: int, times: int, within_ms: int = 0) -> None:
        """The sheet gives an award `times` times, before the next ball; `within_ms`: and in this time."""
        if not points:
            return
        payment = Payment(award, points, self.player)
        self.owed[payment] += times
        if within_ms:
            owed_at = self._owed_at[payment] = self.now
            self.later(self.now + within_ms, lambda: self._judge_paid(payment, owed_at))

    def near(self, award: str, points: int, by: int) -> int:
        """What the game paid for an award now, if it differs by at most `by` points; else `points`."""
        return next(
            (p.points for p in self.seen if p.award == award and abs(p.points - points) <= by), points
        )

    def new_game(self) -> None:
        """A game starts: no points, and nothing is owed."""
        self.scores.clear()
        self.owed.clear()

    def judge_turn(self, expected: tuple[int, int], seen: tuple[int, int]) -> None:
        """A ball starts: whose it is, and what was owed before it."""
        if expected[1] > self.settings["balls"]:
            self.object("turn", "game over", _turn(seen))
        elif seen != expected:
            self.object("turn", _turn(expected), _turn(seen))
        self._nothing_owed()

    def judge_end(self, following: tuple[int, int]) -> None:
        """The game is over: `following` would be the next player and ball; player 0: it was slammed."""
        if following[0] and following[1] <= self.settings["balls"]:
            self.object("turn", _turn(following), "game over")
        self._nothing_owed()

    def _judge_paid(self, payment: Payment, owed_at: int) -> None:
        if self._owed_at.get(payment) == owed_at:
            self._not_paid(payment)

    def _nothing_owed(self) -> None:
        for payment in tuple(self.owed):
            self._not_paid(payment)

    def _not_paid(self, payment: Payment) -> None:
        times = self.owed.pop(payment, 0)
        if times:
            self.object(payment.award, f"{payment.points:,} {times} times", "not paid")

    def draw(self, what: str, value: int) -> None:
        """Record what chance drew, as the run shows it."""
        self._chance[what] = value

    def drawn(self, what: str) -> int:
        """What chance drew, as the run shows it; 0: it shows nothing."""
        return self._chance.get(what, 0)

    def object(self, feature: str, expected: str, seen: str) -> None:
        """The run shows what the sheet does not allow."""
        self.objections.append((feature, expected, seen))


def _turn(turn: tuple[int, int]) -> str:
    return f"player {turn[0]} ball {turn[1]}"
