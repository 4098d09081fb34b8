"""The second contract: a driver board that is kept, with logic-level inputs of its own kind.

Its inputs are lines with an active level, or decoders that switch one of many on by a number, and
often a blanking input that must be fed or everything goes off. This turns "these coils are on" into
levels of our output lines. It knows no pins; what cannot be done safely is refused at set-up.
"""

from firmware.base.errors import GameError

HIGH = 1
LOW = 0
OFF = -1


class ExistingDriver:
    """Levels of `count` output lines for a kept driver board.

    lines: (coil, line, active level). decoders: (first select line, select lines, enable line, active
    level of enable, coils by number; −1 for a number that switches nothing). feed: (line, longest
    time in ms between two changes), or None when the board has no blanking.
    """

    def __init__(
        self,
        count: int,
        lines: "tuple[tuple[int, int, int], ...]",
        decoders: "tuple[tuple[int, int, int, int, tuple[int, ...]], ...]" = (),
        feed: "tuple[int, int] | None" = None,
    ) -> None:
        self.levels = bytearray(count)
        self.refused = 0
        self._lines = lines
        self._decoders = decoders
        self._feed = feed
        _check(count, lines, decoders, feed)
        self.all_off()

    def all_off(self) -> None:
        """Every input at rest; the blanking line is left to stop, so that the board blanks itself."""
        for _coil, line, active in self._lines:
            self.levels[line] = 1 - active
        for _first, _selects, enable, active, _coils in self._decoders:
            self.levels[enable] = 1 - active

    def show(self, on: "bytearray") -> None:
        """Levels for the coils that are on, one byte a coil.

        Of two on one decoder the first is driven, the other counted in `refused`.
        """
        for coil, line, active in self._lines:
            self.levels[line] = active if on[coil] else 1 - active
        for first, selects, enable, active, coils in self._decoders:
            chosen = OFF
            for number in range(len(coils)):
                coil = coils[number]
                if coil >= 0 and on[coil]:
                    if chosen == OFF:
                        chosen = number
                    else:
                        self.refused += 1
            self.levels[enable] = 1 - active if chosen == OFF else active
            for bit in range(selects):
                self.levels[first + bit] = chosen >> bit & 1 if chosen != OFF else 0

    def feed(self) -> None:
        """Turn the blanking line over; called where the guard is fed, as often as the board needs."""
        if self._feed is not None:
            self.levels[self._feed[0]] ^= 1

    def wants_feed_within(self) -> int:
        """The longest time between two feeds in ms; 0 when none is needed."""
        return self._feed[1] if self._feed is not None else 0


def _check(
    count: int,
    lines: "tuple[tuple[int, int, int], ...]",
    decoders: "tuple[tuple[int, int, int, int, tuple[int, ...]], ...]",
    feed: "tuple[int, int] | None",
) -> None:
    taken: dict[int, str] = {}
    driven: dict[int, str] = {}
    for coil, line, active in lines:
        _level("coil " + str(coil), active)
        _take(taken, count, line, "coil " + str(coil))
        _drive(driven, coil, "line " + str(line))
    for first, selects, enable, active, coils in decoders:
        who = "the decoder at line " + str(first)
        _level(who, active)
        for bit in range(selects):
            _take(taken, count, first + bit, who)
        _take(taken, count, enable, who)
        if len(coils) > 1 << selects:
            raise GameError(f"{who} has {selects} select lines and cannot tell {len(coils)} coils apart")
        for coil in coils:
            if coil >= 0:
                _drive(driven, coil, who)
    if feed is not None:
        _take(taken, count, feed[0], "the blanking feed")
        if feed[1] < 2:
            raise GameError(f"blanking is to be fed within {feed[1]} ms; the board feeds once a millisecond")


def _level(who: str, active: int) -> None:
    if active not in (LOW, HIGH):
        raise GameError(f"{who} has the active level {active}; it is 0 or 1")


def _take(taken: "dict[int, str]", count: int, line: int, who: str) -> None:
    if not 0 <= line < count:
        raise GameError(f"{who} is on output line {line}; there are 0 to {count - 1}")
    if line in taken:
        raise GameError(f"{who} and {taken[line]} are both on output line {line}")
    taken[line] = who


def _drive(driven: "dict[int, str]", coil: int, who: str) -> None:
    if coil in driven:
        raise GameError(f"coil {coil} is driven by {driven[coil]} and by {who}")
    driven[coil] = who
