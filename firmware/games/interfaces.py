"""What a game's independent model (host/model.py) is given and gives; imported by type checkers alone."""

from collections.abc import Callable
from typing import Protocol


class ModelWindow(Protocol):
    """A time that runs while a ball is free. `left` is ms; `active` until it is closed."""

    left: int
    active: bool

    def start(self, ms: int) -> None:
        """Open, or open again, for `ms`."""

    def stop(self) -> None:
        """Close, without being late."""

    def is_open(self, award: str) -> bool:
        """Whether it is open; within the tolerance of its end, whether the game paid `award` now."""

    def is_over(self, award: str) -> bool:
        """Whether its time is over; within the tolerance of its end, whether the game paid `award` now."""


class RuleTable(Protocol):
    """Time, settings and ledger of one run. `free`: how many balls are free; `score`: of the player."""

    now: int
    free: int
    settings: "dict[str, int]"

    @property
    def score(self) -> int:
        """Points of the player whose ball it is."""

    def window(self, late: "Callable[[], None] | None" = None) -> ModelWindow:
        """A new window; `late` is called when its time is over."""

    def later(self, at_ms: int, action: "Callable[[], None]") -> None:
        """Call `action` at a time, whether or not a ball is free."""

    def closed(self, switch: str) -> bool:
        """Whether a debounced switch is closed."""

    def latch_factor(self, doubling: ModelWindow) -> None:
        """Awards from here on are doubled if this window is open now."""

    def pay(self, award: str, points: int, doubled: bool = True) -> None:
        """The sheet gives an award now; `doubled`: by the factor."""

    def owe(self, award: str, points: int, times: int) -> None:
        """The sheet gives an award `times` times, before the next ball."""

    def near(self, award: str, points: int, by: int) -> int:
        """What the game paid for an award now, if it differs by at most `by` points; else `points`."""

    def in_trough(self) -> int:
        """How many balls the trough's switches show."""

    def all_home(self) -> None:
        """Every ball is in a device."""

    def start_ball(self, player: int) -> None:
        """A player's ball starts, and the model makes new windows."""

    def new_game(self) -> None:
        """A game starts: no points, and nothing is owed."""

    def judge_turn(self, expected: "tuple[int, int]", seen: "tuple[int, int]") -> None:
        """A ball starts: whose it is, and what was owed before it."""

    def judge_end(self, following: "tuple[int, int]") -> None:
        """The game is over: `following` would be the next player and ball; player 0: it was slammed."""

    def draw(self, what: str, value: int) -> None:
        """Record what chance drew, as the run shows it."""

    def drawn(self, what: str) -> int:
        """What chance drew, as the run shows it."""

    def object(self, feature: str, expected: str, seen: str) -> None:
        """The run shows what the sheet does not allow."""


class RuleModel(Protocol):
    """A game's rules as its sheet says them."""

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""

    def event(self, kind: str, name: str, value: int) -> None:
        """Another record of the cabinet's: a ball or game that starts or ends, what a wheel shows."""

    def settle(self) -> None:
        """The last record of this millisecond was given."""
