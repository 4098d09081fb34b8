"""A machine that plays by itself, looked at over a serial line; nothing there is changed."""

import hashlib
import secrets
import struct
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

from firmware.base.trace import EDGE, RECORD
from firmware.link import frames
from hil.bench.names import Names, of_console
from hil.bench.targets.link import Link, Port
from hil.bench.targets.linked import BOARD, PATIENCE_S, identity
from hil.bench.view import CHUNK, View, decode
from hil.build import deployed
from hil.game_tables import setting_rows
from hil.games import Game

CELL = 0x1FF  # bits of a display cell
CELL_BITS = 9
FAULTS_EVERY_S = 1.0
HEAD = struct.Struct("<II")  # of SEEN: time in ms, records lost so far
ENTRY = struct.Struct("<HHii")  # place, entries, detail, times; then the name
FEWEST = 4  # bytes of an entry that is not there


class Fault(NamedTuple):
    """An entry of the machine's fault log."""

    name: str
    detail: int
    times: int


class Edge(NamedTuple):
    """A switch is closed, or open, from `ms` on."""

    ms: int
    switch: str
    closed: bool


class Window(NamedTuple):
    """An open window; `frozen`: its time stands still."""

    name: str
    left_ms: int
    frozen: bool


class WatchedMachine:
    """Ask for a look with the constructor, then `follow` the game, then `poll` some times a second.

    `game_name`: what the machine says that it plays. All raise LinkError.
    """

    def __init__(
        self, port: Port, clock: Callable[[], float] = time.monotonic, patience_s: float = PATIENCE_S
    ) -> None:
        self._link = Link(port, clock)
        self._clock = clock
        self._patience_s = patience_s
        self._nonce = secrets.token_bytes(frames.NONCE)
        welcome = self._link.greet(self._nonce, patience_s, frames.WATCH)
        if len(welcome) < 1 + frames.DIGEST or welcome[0] != frames.PROTOCOL:
            raise self._link.fail("the device speaks another protocol")
        self._answer = welcome[1 : 1 + frames.DIGEST]
        self.game_name, _, self.ended = (
            welcome[1 + frames.DIGEST :].decode("utf-8", "replace").partition("\0")
        )
        self.view = View(Names((), (), ()))
        self.began_ms = 0
        self.began_in_game = False
        self.settings: dict[str, int] = {}
        self.heat: dict[str, float] = {}
        """Of each coil, as a share of what it bears."""
        self.windows: list[Window] = []
        self.faults: list[Fault] = []
        self.sensed: list[int] = []
        """Coil bus in mV, 5 V rail in mV, what withholds the coils; empty when the machine knows none."""
        self.edges: list[Edge] = []
        """Debounced, since `follow`; what was closed then is at 0 ms."""
        self.lost = 0
        """Records that came too fast to be fetched: what lies behind them was read anew."""
        self._faults_at = 0.0

    @property
    def now_ms(self) -> int:
        """Milliseconds since `follow`, by the machine's clock."""
        return self.view.now_ms - self.began_ms

    def follow(self, game: Game, image: Path | None = None) -> None:
        """Read how everything stands. `image`: the board's, when it was not deployed from this machine.

        Raises LinkError unless the machine runs exactly this game.
        """
        if not self._runs(game, image):
            raise self._link.fail(
                f"the device does not run this firmware and '{game.name}', or no image that was deployed from"
                " here; name its image with --image FILE"
            )
        names = of_console(game.console())
        self.view = View(names)
        self._look()  # its time
        self.began_ms = self.view.now_ms
        rows = [row.name for row in setting_rows(game.module)]
        self.settings = dict(zip(rows, self._ask(frames.SETTINGS), strict=True))
        self._read_all()
        self.began_in_game = self.view.playing
        self.poll()

    def poll(self) -> None:
        """Fetch what happened since, and what has no record: windows, heat, volts, faults."""
        lost = self.lost
        while self._look() == frames.LOOK_MOST:
            pass
        if self.lost != lost:
            self._read_all()
        names = self.view.names
        self._read_scores()
        self.heat = {
            name: share / 1000 for name, share in zip(names.coils, self._ask(frames.HEAT), strict=True)
        }
        self.windows = [
            Window(name, abs(left), left < 0)
            for name, left in zip(names.windows, self._ask(frames.WINDOWS), strict=True)
            if left
        ]
        self.sensed = self._ask(frames.SENSED)
        if self._clock() >= self._faults_at:
            self._faults_at = self._clock() + FAULTS_EVERY_S
            self.faults = self._read_faults()

    def contacts(self, debounce: Mapping[str, tuple[int, int]]) -> list[Edge]:
        """The contact changes that the edges come of; `debounce`: of each switch, ms to close and to open."""
        raw = [
            one._replace(ms=max(0, one.ms - debounce[one.switch][0 if one.closed else 1]))
            for one in self.edges
        ]
        return sorted(raw, key=lambda one: one.ms)

    def close(self) -> None:
        """End the looking; the machine plays on. Never raises."""
        self._link.close()

    def _runs(self, game: Game, image: Path | None) -> bool:
        if self.game_name != game.name:
            raise self._link.fail(
                f"the device plays the game '{self.game_name}', asked for was '{game.name}'"
            )
        if self._answer == identity(self._nonce, game):
            return True
        return any(
            self._answer == hashlib.sha256(self._nonce + found.image.version(found.slot)).digest()
            and found.runs(game, BOARD)
            for found in deployed.known(image)
        )

    def _look(self) -> int:
        """Take the oldest records that wait; how many."""
        payload = self._asked(frames.LOOK, b"", frames.SEEN)
        if len(payload) < HEAD.size or (len(payload) - HEAD.size) % RECORD:
            raise self._link.fail("the device sent a SEEN of the wrong size")
        now_ms, self.lost = HEAD.unpack_from(payload)
        records = payload[HEAD.size :]
        for record in decode(records):
            self.view.take(record)
            if record.kind == EDGE:
                name = self.view.names.switches[record.id]
                self._note(record.ms - self.began_ms, name, record.value == 1)
        count = len(records) // RECORD
        if count < frames.LOOK_MOST:
            self.view.now_ms = max(self.view.now_ms, now_ms)
        return count

    def _note(self, ms: int, switch: str, closed: bool) -> None:
        self.edges.append(Edge(max(0, ms), switch, closed))

    def _ask(self, what: int) -> list[int]:
        """Every number of one kind."""
        numbers: list[int] = []
        full = True
        while full:
            place = struct.pack("<BH", what, len(numbers))
            payload = self._asked(frames.ASK, place, frames.FACTS)
            if payload[:3] != place or len(payload) % 4 != 3:
                raise self._link.fail("the device answered another question")
            answer = [n for (n,) in struct.iter_unpack("<i", payload[3:])]
            numbers += answer
            full = len(answer) == frames.FACTS_MOST
        return numbers

    def _asked(self, kind: int, payload: bytes, answer: int) -> bytes:
        self._link.send(kind, payload)
        self._link.flush()
        got, found = self._link.receive(self._patience_s)
        if got != answer:
            raise self._link.fail(f"the device sent a frame of type {got}, expected was {answer}")
        return found

    def _read_all(self) -> None:
        """How contacts, lamps, displays and charts stand; their records may come later and say the same."""
        view = self.view
        names = view.names
        for name, closed in zip(names.switches, self._ask(frames.SWITCHES), strict=True):
            if view.switches[name] != bool(closed):
                view.switches[name] = bool(closed)
                self._note(self.now_ms, name, bool(closed))
        view.lamps.update(zip(names.lamps, self._ask(frames.LAMPS), strict=True))
        leaves = self._ask(frames.STATES)
        view.states.update(
            {chart: names.states[leaf] for chart, leaf in zip(names.resting, leaves, strict=True)}
        )
        chunks = self._ask(frames.TEXTS)
        for at, cells in enumerate(chunks):
            display, chunk = divmod(at, len(chunks) // len(view.cells))
            row = view.cells[display]
            for i in range(CHUNK):
                if cells >= 0 and chunk * CHUNK + i < len(row):
                    row[chunk * CHUNK + i] = cells >> CELL_BITS * i & CELL
        self._read_scores()

    def _read_scores(self) -> None:
        view = self.view
        view.player, view.players, view.ball, playing, *scores = self._ask(frames.SCORES)
        view.playing = bool(playing)
        view.scores = {player + 1: score for player, score in enumerate(scores[: view.players])}

    def _read_faults(self) -> list[Fault]:
        found: list[Fault] = []
        while True:
            payload = self._asked(frames.ASK, struct.pack("<BH", frames.FAULTS, len(found)), frames.ENTRY)
            if len(payload) == FEWEST:
                return found
            if len(payload) < ENTRY.size:
                raise self._link.fail("the device sent an ENTRY of the wrong size")
            _at, _count, detail, times = ENTRY.unpack_from(payload)
            found.append(Fault(payload[ENTRY.size :].decode("utf-8", "replace"), detail, times))
