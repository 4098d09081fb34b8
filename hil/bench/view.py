"""The state and history of a machine, computed from its trace records alone.

Desk, bench and tests see a machine only through this; it knows nothing of the rules.
"""

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from firmware.base import trace
from firmware.base.errors import LinkError
from firmware.play.memory import BALL, GAME, PLAYER
from hil.bench.names import Names

OFF, ON, SLOW, FAST, RAPID = range(5)
PATTERN_WORDS = ("off", "on", "blinking slow", "blinking fast", "blinking rapid")
CHUNK = 3  # cells of one record
CHUNKS = 8  # idents of one display


class Record(NamedTuple):
    """One trace record."""

    ms: int
    kind: int
    id: int
    value: int


class TraceEvent(NamedTuple):
    """An entry of the history; `kind` is a word of `firmware.base.trace.KIND_NAMES`."""

    ms: int
    kind: str
    name: str
    value: int


@dataclass
class CoilState:
    """The last command to a coil: `value` as in a COIL record, `since` when (ms)."""

    value: int = 0
    since: int = 0


def decode(data: bytes, since_ms: int = 0) -> Iterator[Record]:
    """The records in `data`, of a machine that was switched on at `since_ms`.

    Raises LinkError when the last one is incomplete.
    """
    if len(data) % trace.RECORD:
        raise LinkError(f"{len(data)} bytes of trace are not whole records of {trace.RECORD}")
    for fields in struct.iter_unpack(trace.FORMAT, data):
        record = Record(*fields)
        yield record._replace(ms=record.ms + since_ms) if since_ms else record


class View:
    """One machine as its trace shows it.

    `lamps` holds patterns by name, `lines` what each display shows as text, `scores` the sum of each player's
    awards (players count from 1), `states` the state of each region, `history` every event in order.
    """

    def __init__(self, names: Names) -> None:
        self.names = names
        self.now_ms = 0
        self.on_since_ms = 0  # when the machine was switched on
        self.lamps = dict.fromkeys(names.lamps, OFF)
        self.lamps_since = dict.fromkeys(names.lamps, 0)
        self.coils = {name: CoilState() for name in names.coils}
        self.switches = dict.fromkeys(names.switches, False)
        self.states = dict(names.resting)
        self.states_since = dict.fromkeys(names.resting, 0)
        self.cells = [[32] * display.cells for display in names.displays]
        self.lines_since = [0] * len(names.displays)
        self.scores: dict[int, int] = {}
        self.paid = 0  # points of every award so far
        self.players = 0
        self.player = 0
        self.ball = 0
        self.playing = False
        self.history: list[TraceEvent] = []
        self.moves: list[tuple[int, int]] = []  # every transition taken: its row, the state it led to
        self.texts: list[Record] = []  # every display chunk
        self.events = 0
        self._saved_states: dict[int, dict[str, str]] = {}
        self._just_reset = False
        self._fold = {
            trace.EDGE: self._edge,
            trace.EVENT: self._event,
            trace.MOVE: self._move,
            trace.AWARD: self._award,
            trace.BASE: self._base,
            trace.LAMP: self._lamp,
            trace.COIL: self._coil,
            trace.REFUSED: self._refused,
            trace.TEXT: self._text,
            trace.CUE: self._cue,
            trace.SAVE: self._save,
        }

    @property
    def score(self) -> int:
        """Points of the playing player."""
        return self.scores.get(self.player, 0)

    @property
    def lines(self) -> tuple[str, ...]:
        """What each display shows, points and commas included, without outer blanks."""
        return tuple(self._line(line) for line in range(len(self.cells)))

    def of_changed_game(self, names: Names, states: dict[str, str]) -> "View":
        """The same for a game that changed while it ran; `states`: of its regions now.

        The wiring tables of both name the same. Rows that the game no longer has come after its own.
        """
        gone = [row for row in self.names.rows if row not in names.rows]
        rows = (*names.rows, *gone)
        place = {row: number for number, row in enumerate(rows)}
        view = View(replace(names, rows=rows))
        same = (
            "now_ms", "on_since_ms", "lamps", "lamps_since", "coils", "switches", "cells", "lines_since",
            "scores", "players", "player", "ball", "playing", "history", "events",
        )  # fmt: skip
        for name in same:
            setattr(view, name, getattr(self, name))
        view.moves = [(place[self.names.rows[row]], 0) for row, _ in self.moves]
        view.states.update(states)
        view.states_since.update({name: ms for name, ms in self.states_since.items() if name in view.states})
        for player, saved in self._saved_states.items():
            view._saved_states[player] = view.names.resting | {
                name: state for name, state in saved.items() if state in names.leaves.get(name, ())
            }
        return view

    def power_off(self, ms: int) -> None:
        """The machine lost its power: every output is off, what it was at is gone; the history stays."""
        self.now_ms = ms
        for name, lamp in self.lamps.items():
            if lamp != OFF:
                self.lamps[name], self.lamps_since[name] = OFF, ms
        for name, coil in self.coils.items():
            if coil.value < 0 or coil.since + coil.value > ms:
                self.coils[name] = CoilState(0, ms)
                self.history.append(TraceEvent(ms, "coil", name, 0))
        self.switches = dict.fromkeys(self.switches, False)
        self.cells = [[32] * len(cells) for cells in self.cells]
        self.lines_since = [ms] * len(self.cells)
        for region, state in self.names.resting.items():
            self._set_state(region, state, ms)
        self.scores, self._saved_states = {}, {}
        self.players = self.player = self.ball = 0
        self.playing = self._just_reset = False

    def power_on(self, ms: int) -> None:
        """The machine was switched on again: its times count from here."""
        self.on_since_ms = ms

    def fold(self, data: bytes, each_instant: Callable[[], None] | None = None) -> list[Record]:
        """Apply records; `each_instant` is called after the last record of each millisecond.

        Raises LinkError when a record cannot belong to this game.
        """
        records = list(decode(data, self.on_since_ms))
        for at, record in enumerate(records):
            self.take(record)
            last = at + 1 == len(records) or records[at + 1].ms != record.ms
            if last and each_instant is not None:
                each_instant()
        return records

    def take(self, record: Record) -> None:
        """Apply one record. Raises LinkError when it cannot belong to this game."""
        if record.ms < self.now_ms:
            raise LinkError(f"the trace goes back in time: {self.now_ms} ms, then {record.ms} ms")
        self.now_ms = record.ms
        fold = self._fold.get(record.kind)
        if fold is None:
            raise LinkError(f"the trace has a record of unknown kind {record.kind}")
        try:
            fold(record)
        except IndexError:
            kind = trace.KIND_NAMES[record.kind]
            raise LinkError(
                f"the trace has {kind} number {record.id}, which this game does not have"
            ) from None

    def _record(self, record: Record, name: str) -> None:
        self.history.append(TraceEvent(record.ms, trace.KIND_NAMES[record.kind], name, record.value))

    def _line(self, line: int) -> str:
        return "".join(glyph(cell) for cell in self.cells[line]).strip()

    def _edge(self, record: Record) -> None:
        name = self.names.switches[record.id]
        self.switches[name] = record.value == 1
        self._record(record, name)

    def _event(self, record: Record) -> None:
        self.events += 1
        name = self.names.events[record.id]
        if name == "ball.started":
            self._start_ball(*divmod(record.value, 16), record.ms)
        elif name == "game.started":
            self.scores = {}
            self.players = record.value
            self.playing = True
            self._saved_states = {}
            self._reset_regions((BALL, PLAYER, GAME), record.ms)
            self._just_reset = True
        elif name == "player.added":
            self.players = record.value
        elif name == "game.over":
            self.playing = False
        self._record(record, name)

    def _start_ball(self, player: int, ball: int, ms: int) -> None:
        """A ball starts: restore its player's states, reset those whose span is a ball."""
        if not self._just_reset:
            if player != self.player:
                own = [region for region, span in self.names.spans.items() if span == PLAYER]
                self._saved_states[self.player] = {region: self.states[region] for region in own}
                for region in own:
                    kept = self._saved_states.get(player, self.names.resting)
                    self._set_state(region, kept[region], ms)
            self._reset_regions((BALL,), ms)
        self._just_reset = False
        self.player, self.ball = player, ball

    def _reset_regions(self, spans: tuple[int, ...], ms: int) -> None:
        """Reset the regions of these spans to their initial states."""
        for region, span in self.names.spans.items():
            if span in spans:
                self._set_state(region, self.names.resting[region], ms)

    def _set_state(self, region: str, state: str, ms: int) -> None:
        if self.states.get(region) != state:
            self.states_since[region] = ms
        self.states[region] = state

    def _move(self, record: Record) -> None:
        region = self.names.rows[record.id].region
        self._set_state(region, self.names.states[record.value], record.ms)
        self.moves.append((record.id, record.value))
        self._record(record, region)

    def _award(self, record: Record) -> None:
        self.scores[self.player] = self.scores.get(self.player, 0) + record.value
        self.paid += record.value
        self._record(record, self.names.awards[record.id])

    def _base(self, record: Record) -> None:
        self._record(record, self.names.awards[record.id])

    def _lamp(self, record: Record) -> None:
        name = self.names.lamps[record.id]
        self.lamps[name] = record.value
        self.lamps_since[name] = record.ms
        self._record(record, name)

    def _coil(self, record: Record) -> None:
        name = self.names.coils[record.id]
        self.coils[name] = CoilState(record.value, record.ms)
        self._record(record, name)

    def _refused(self, record: Record) -> None:
        self._record(record, self.names.coils[record.id])

    def _text(self, record: Record) -> None:
        line, chunk = divmod(record.id, CHUNKS)
        first = chunk * CHUNK
        if line >= len(self.cells) or first >= len(self.cells[line]):
            raise LinkError(f"the trace has display chunk {record.id}, which no display has")
        for i in range(min(CHUNK, len(self.cells[line]) - first)):
            self.cells[line][first + i] = record.value >> (9 * i) & 0x1FF
        self.lines_since[line] = record.ms
        self.texts.append(record)

    def _cue(self, record: Record) -> None:
        self._record(record, self.names.cues[record.id])

    def _save(self, record: Record) -> None:
        self._record(record, self.names.values[record.id])


def seconds(ms: int) -> str:
    """A time as reports show it, such as 12.345 s."""
    return f"{ms / 1000:.3f} s"


def pattern_words(pattern: int) -> str:
    """A lamp pattern in the words of the script language."""
    return PATTERN_WORDS[pattern] if 0 <= pattern < len(PATTERN_WORDS) else f"pattern {pattern}"


def glyph(cell: int) -> str:
    """The text of a display cell, with its point or comma."""
    return chr(cell & 127) + ("." if cell & 128 else "") + ("," if cell & 256 else "")
