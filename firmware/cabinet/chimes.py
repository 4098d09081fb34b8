"""Chimes: each cue is a pattern of strokes by coils, from the wiring's CHIMES."""

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Chimes(Feature):
    """Plays cues on chime coils, one stroke after another.

    CHIMES lists (cue, ((coil, ms until the next stroke), ...)). A cue begins when the last stroke has rung.
    While a pattern plays, only one with more strokes than it has left takes its place; others are not heard.
    """

    name = "chimes"
    span = PERSISTENT
    chart = (
        ("on", "chimes.due", None, "strike"),
        ("on", "game.slammed", None, "silence"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._strokes: list[tuple[CoilHandle, int]] = []
        self._firsts: list[int] = []  # by cue: its first stroke, and its number of strokes
        self._lengths: list[int] = []
        self._rows: tuple[ChimeRow, ...] = getattr(play.wiring, "CHIMES", ())
        self._rings = [self._declare(strokes) for _cue, strokes in self._rows]
        self._due = self.event("chimes.due")
        self._clock = self.clock(self._due.post)
        self._is_ringing = False  # the event was posted, or the clock runs
        self._at = 0
        self._left = 0
        play.cues.in_front = self._stand_before

    def strike(self, event: int) -> None:
        """The next stroke, when one is left."""
        if self._left:
            coil, gap = self._strokes[self._at]
            coil.pulse()
            self._clock.start(gap)
            self._at += 1
            self._left -= 1
        else:
            self._is_ringing = False

    def silence(self, event: int) -> None:
        """Leave out the strokes that are left."""
        self._left = 0

    def _declare(self, strokes: "tuple[tuple[str, int], ...]") -> int:
        first = len(self._strokes)
        for coil, gap in strokes:
            self._strokes.append((self.coil(coil), gap))
        return first

    def _stand_before(self, board: "Callable[[int], None]") -> "Callable[[int], None]":
        """Called when a run begins: every cue is known. Raises GameError for one that nobody plays."""
        self._board = board
        names = self.play.cues.names
        self._firsts = [0] * len(names)
        self._lengths = [0] * len(names)
        for row in range(len(self._rows)):
            cue, strokes = self._rows[row]
            if cue not in names:
                raise GameError("cue '" + cue + "' in CHIMES is played by nobody" + did_you_mean(cue, names))
            self._firsts[names.index(cue)] = self._rings[row]
            self._lengths[names.index(cue)] = len(strokes)
        return self._play

    def _play(self, cue: int) -> None:
        if self._lengths[cue] > self._left:
            self._at = self._firsts[cue]
            self._left = self._lengths[cue]
            if not self._is_ringing:
                self._is_ringing = True
                self.play.engine.post(
                    self._due.ident, 0
                )  # one call less deep than Signal.post: cues are deep
        self._board(cue)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.play.interfaces import ChimeRow
    from firmware.play.requests import CoilHandle
    from firmware.play.rule_context import RuleContext
