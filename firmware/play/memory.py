"""Values with a span: how long each lasts is given where it is declared, and nowhere else."""

from array import array

from firmware.base.errors import GameError

BALL = 0  # back to its start at every ball
PLAYER = 1  # each player's own, for the game
GAME = 2  # shared, for the game
PERSISTENT = 3  # from game to game, through power loss

PLAYERS = 4


class Value:
    """One integer, read and written as `value`; `Memory` saves and loads it for each player."""

    def __init__(self, feature: str, what: str, start: int, span: int) -> None:
        self._feature = feature
        self._what = what
        self.start = start
        self.span = span
        self.value = start
        self.saved = start

    @property
    def name(self) -> str:
        """FEATURE.what; joined when it is asked for, as an award's."""
        return self._feature + "." + self._what

    def is_named(self, feature: str, what: str) -> bool:
        """Whether this is the value `what` of `feature`; allocates nothing."""
        return self._what == what and self._feature == feature


class Memory:
    """Every value of a machine, and each player's own copies of those with the span PLAYER."""

    def __init__(self) -> None:
        self.values: list[Value] = []
        self._own: list[Value] = []
        self._kept: list[int] = []
        self._shares: list[array[int]] = []

    def value(self, feature: str, what: str, start: int = 0, span: int = BALL) -> Value:
        """Declare a value of a feature. Raises GameError when it has one of that name."""
        value = Value(feature, what, start, span)
        for other in self.values:
            if other.is_named(feature, what):
                raise GameError("value '" + value.name + "' is declared twice")
        self.values.append(value)
        return value

    def close(self) -> None:
        """Set-up is over: reserve memory for each player's values."""
        self._kept = [at for at in range(len(self.values)) if self.values[at].span == PERSISTENT]
        self._own = [value for value in self.values if value.span == PLAYER]
        self._shares = [array("i", [v.start for v in self._own]) for _ in range(PLAYERS)]

    def reset(self, span: int) -> None:
        """Every value of `span` back to its start; for PLAYER, every player's share."""
        for value in self.values:
            if value.span == span:
                value.value = value.start
        if span == PLAYER:
            for share in self._shares:
                for i in range(len(self._own)):
                    share[i] = self._own[i].start

    def save_player(self, player: int) -> None:
        """Store the present values as those of `player` (0 … 3)."""
        share = self._shares[player]
        for i in range(len(self._own)):
            share[i] = self._own[i].value

    def load_player(self, player: int) -> None:
        """Make the values of `player` the present ones."""
        share = self._shares[player]
        for i in range(len(self._own)):
            self._own[i].value = share[i]

    def unsaved(self, start: int = 0) -> int:
        """Position of the first persistent value from `start` on that changed since it was saved, or −1."""
        values = self.values
        for at in self._kept:
            value = values[at]
            if value.value != value.saved and at >= start:
                return at
        return -1
