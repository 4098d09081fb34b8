"""What rules.md says of the wheel, the keeper, the hive and the tilt bob as mechanisms."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from firmware.games.honey_flow.host.model_state import Turn
    from firmware.play.interfaces import RuleTable

CLEAR_MS = 500
CHECK_MS = 500  # a keeper that falls so soon after it was to be raised does not open the cell
WAITS_MS = 250  # a pulse waits so long at most for the supply
KEEPER_TRIES = 3
WHEEL_MS = 12_000  # of one ball: 8 s without an index pulse, and a turn
GIVES_BACK_MS = 10_000  # of the hive, pulses that fail included
SEARCH_MS = 1_000
KNOCK_MS = 1_000  # knocks that come together follow each other


class Keeper:
    """12: raised only when the cell is clear, and before the porch gives the ball back."""

    def __init__(self, table: "RuleTable") -> None:
        self._table = table
        self._cell_at = self._raised_at = self._fell_at = -CHECK_MS
        self._tries = 0
        self._gives_back = self._is_unchecked = False

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""
        if switch == "queen_cell":
            self._cell_at = self._table.now
            if closed:
                self._gives_back = not self._table.closed("keeper")
        elif switch == "keeper" and closed:
            self._fell_at = self._table.now
            if not self.is_raised():
                self._tries = 0

    def visited(self) -> None:
        """A ball turned the wheel."""
        self._is_unchecked = self.is_raised()

    def is_raised(self) -> bool:
        """Whether it is being raised, and falls without opening the cell.

        So it does until the next pulse when a ball turned the wheel before the check.
        """
        return self._is_unchecked or self._table.now - self._raised_at <= CHECK_MS

    def may_be_up(self) -> bool:
        """Whether it was checked or not, as the insert shows: its pulse may have waited for the supply."""
        return CHECK_MS - WAITS_MS <= self._table.now - self._raised_at <= CHECK_MS

    def pulse(self, coil: str, is_played: bool) -> None:
        """A coil fired; while no ball is played, holes give theirs up at once."""
        if coil == "keeper_reset":
            self._judge_clear()
            self._raised_at = self._table.now
            self._is_unchecked = False
            self._tries += 1
        elif coil == "porch_eject":
            self._judge_up(is_played)
            self._raised_at = -CHECK_MS

    def _judge_clear(self) -> None:
        if self._table.closed("queen_cell") or self._table.now - self._cell_at < CLEAR_MS:
            self._table.object("keeper", "not raised while a ball is in the cell", "raised")

    def _judge_up(self, is_played: bool) -> None:
        """At the first pulse for a ball that came while the keeper was down."""
        is_down = self._table.closed("keeper") and self._table.now - self._fell_at > WAITS_MS
        may = self._gives_back or self._tries >= KEEPER_TRIES or not is_down
        if is_played and self._table.closed("porch") and not may:
            self._table.object("porch", "the keeper is raised before the ball is given back", "given back")
        self._gives_back = True


class WheelTurns:
    """12: the balls that turned the wheel and were not paid yet, one after the other."""

    def __init__(self, table: "RuleTable") -> None:
        self._table = table
        self._waiting: list[list[Turn]] = []
        self._turning: list[list[Turn]] = []
        self._due_at = 0

    def turn(self, ball: "Turn") -> None:
        """A ball turned the wheel, which must show a stop for it."""
        turned = [ball]
        self._waiting.append(turned)
        self._due_at = max(self._due_at, self._table.now) + WHEEL_MS
        self._table.later(self._due_at, lambda: self._judge(turned))

    def begins(self) -> None:
        """The motor runs: for the ball that came first."""
        self._turning += self._waiting[:1]
        del self._waiting[:1]

    def drop_waiting(self) -> None:
        """A new ball starts: the wheel turns no more for those before it."""
        self._waiting.clear()

    def shown(self) -> "Turn | None":
        """The ball that the stop is for."""
        if self._turning:
            return self._turning.pop(0)[0]
        self._table.object("wheel", "no stop: no ball turned it", "a stop")
        return None

    def _judge(self, turned: "list[Turn]") -> None:
        if any(one is turned for one in self._waiting + self._turning):
            self._table.object("wheel", "a stop", "none")


class Knocks:
    """17 and Cabinet: a special and a credit that is won knock, one or several at once."""

    def __init__(self, table: "RuleTable") -> None:
        self._table = table
        self._due_at = self._knocked_at = -KNOCK_MS

    def expect(self) -> None:
        """One is due."""
        due = self._due_at = self._table.now
        self._table.later(due + KNOCK_MS, lambda: self._judge(due))

    def knock(self) -> None:
        """The knocker fired."""
        self._knocked_at = self._table.now
        self._table.later(self._knocked_at, self._judge_due)

    def _judge(self, due: int) -> None:
        if self._knocked_at < due:
            self._table.object("knocker", "a knock", "none")

    def _judge_due(self) -> None:
        if self._knocked_at - self._due_at > KNOCK_MS:
            self._table.object("knocker", "no knock", "one")


class HeldBalls:
    """13: the balls that the hive holds, whoever locked them; the others are given back."""

    def __init__(self, table: "RuleTable") -> None:
        self._table = table
        self.held = 0
        self._searched_at = -SEARCH_MS

    def hold(self) -> None:
        """A ball was locked and stays."""
        self.held += 1

    def let_go(self) -> None:
        """A Swarm or a slam: none is held."""
        self.held = 0

    def search(self) -> None:
        """The ball search, which may empty the hive, fires a coil."""
        self._searched_at = self._table.now

    def judge_eject(self, there: int) -> None:
        """The hive's coil throws one of `there` balls out."""
        searches = self._table.now - self._searched_at < SEARCH_MS
        if there and there <= self.held and not searches:
            self._table.object("hive", "the ball is held", "ejected")
