"""Counts what a trace would record: what a season reads of a game that nobody looks at."""

from collections.abc import Callable

from firmware.base.trace import AWARD, CUE, EDGE, EVENT, MOVE, Trace
from hil.bench.names import Names

KINDS = 16
BALL_STARTED, BALL_ENDED, GAME_STARTED = "ball.started", "ball.ended", "game.started"
PLAYER_ADDED, GAME_OVER = "player.added", "game.over"
LANE = "lane"
Counter = Callable[[int, int], None]


class Tally(Trace):
    """Takes the place of a trace: counts awards, cues, events and entered states, and makes no record.

    It follows who plays, as hil.bench.view.View does. `stop` is called in a millisecond after which the
    player may decide anew: the lane's contact or `playing` changed; `stops` counts them.
    """

    stop: Callable[[], None]

    def __init__(self, capacity: int = 0) -> None:
        super().__init__(1)
        self._counters: list[Counter | None] = [None] * KINDS
        self.players = 0
        self.player = 0
        self.playing = False
        self.stops = 0
        self.paid = 0
        self.scores: dict[int, int] = {}
        self.ball_ms: list[int] = []
        self._ball_started_ms = 0

    def follow(self, names: Names) -> None:
        """Count under these names from now on."""
        self.awards = [0] * len(names.awards)
        self.points = [0] * len(names.awards)
        self.cues = [0] * len(names.cues)
        self.events = [0] * len(names.events)
        self.entered: list[dict[int, int] | None] = [{} if row.leads else None for row in names.rows]
        self._lane = names.switches.index(LANE) if LANE in names.switches else -1
        answers: dict[str, Callable[[int], None]] = {
            BALL_STARTED: self._start_ball,
            BALL_ENDED: self._end_ball,
            GAME_STARTED: self._start_game,
            PLAYER_ADDED: self._add_player,
            GAME_OVER: self._end_game,
        }
        self._answers = [answers.get(name) for name in names.events]
        for kind, counter in (
            (EDGE, self._edge),
            (EVENT, self._event),
            (MOVE, self._move),
            (AWARD, self._award),
            (CUE, self._cue),
        ):
            self._counters[kind] = counter

    def add(self, kind: int, ident: int, value: int) -> None:
        """Count what would have been a record."""
        counter = self._counters[kind]
        if counter is not None:
            counter(ident, value)

    @property
    def lost(self) -> int:
        """No record is made, so none is lost."""
        return 0

    def _edge(self, ident: int, value: int) -> None:
        if ident == self._lane:
            self.stop()

    def _event(self, ident: int, value: int) -> None:
        self.events[ident] += 1
        answer = self._answers[ident]
        if answer is not None:
            answer(value)

    def _move(self, ident: int, value: int) -> None:
        entered = self.entered[ident]
        if entered is not None:
            entered[value] = entered.get(value, 0) + 1

    def _award(self, ident: int, value: int) -> None:
        self.awards[ident] += 1
        self.points[ident] += value
        self.paid += value
        self.scores[self.player] = self.scores.get(self.player, 0) + value

    def _cue(self, ident: int, value: int) -> None:
        self.cues[ident] += 1

    def _start_ball(self, value: int) -> None:
        self.player = value // 16
        self._ball_started_ms = self.now

    def _end_ball(self, value: int) -> None:
        self.ball_ms.append(self.now - self._ball_started_ms)

    def _start_game(self, value: int) -> None:
        self.scores = {}
        self.players = value
        self.playing = True
        self.stop()

    def _add_player(self, value: int) -> None:
        self.players = value

    def _end_game(self, value: int) -> None:
        self.playing = False
        self.stop()
