"""A target behind a serial line: a board, or the firmware as a MicroPython process."""

import hashlib
import secrets
import struct
import time
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

from firmware.base.errors import LinkError
from firmware.base.trace import RECORD
from firmware.link import frames
from hil.bench.targets.link import DeviceGaveUp, Link, Port, open_port
from hil.bench.targets.link_states import READY, LinkStates
from hil.bench.targets.target import MachineStopped
from hil.build import deployed
from hil.game_tables import setting_rows
from hil.games import Game
from hil.micropython import Spawned

PATIENCE_S = 5.0  # longest silence of a device that should answer
LONGEST_S = 120.0  # longest that one lock-step advance may take
ALIVE_S = 0.05  # real time: interval of ALIVE frames
LATE_S = 1.0  # real time: longest silence, and longest that a time may be overdue
PROCESS = "micropython"
OPEN = "port"
BOARD = "pico_matrix"

Given = ParamSpec("Given")
Made = TypeVar("Made")


def _nothing(port: Port) -> Port:
    return port


class LinkTarget:
    """A device that runs `game`, behind a serial line; each `start` is a fresh run. Raises LinkError.

    `ended`: the error that ended the device's program before this session, "" when none did.
    """

    ended = ""

    def __init__(
        self,
        url: str,
        game: Game,
        real_time: bool = False,
        patience_s: float = PATIENCE_S,
        image: Path | None = None,
        behind: Callable[[Port], Port] = _nothing,
    ) -> None:
        """Open the line. `image`: the image on the board, when it was not deployed from this machine.

        `behind` puts something between the port and its user, such as damage.
        """
        self._behind = behind
        self.name = url
        self._image = image
        self.real_time = real_time
        self.spawned = Spawned(game) if url == PROCESS else None
        try:
            port = open_port(self.spawned.port if self.spawned else url)
        except LinkError:
            self._end_process()
            raise
        if self.spawned:
            self.spawned.release_line()
        self._open(port, game, patience_s, time.monotonic)

    @classmethod
    def over(
        cls,
        port: Port,
        game: Game,
        real_time: bool = False,
        patience_s: float = PATIENCE_S,
        clock: Callable[[], float] = time.monotonic,
    ) -> "LinkTarget":
        """A target over an open port; tests put a faulty line in between here."""
        target = cls.__new__(cls)
        target.name = OPEN
        target.real_time = real_time
        target.spawned = None
        target._image = None
        target._behind = _nothing
        target._open(port, game, patience_s, clock)
        return target

    def _open(self, port: Port, game: Game, patience_s: float, clock: Callable[[], float]) -> None:
        self._game = game
        self.patience_s = patience_s
        self.clock = clock
        self._link = Link(self._behind(port), clock)
        self._settings = [row.name for row in setting_rows(game.module)]
        self._nonce = b""
        self._run = 0
        self._states = LinkStates()
        self._records = bytearray()
        self._fresh()

    def _fresh(self) -> None:
        self._records.clear()
        self._sha = hashlib.sha256()
        self._count = 0
        self._last_ms = 0
        self._now = 0
        self._alive_due = 0.0

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start a fresh console at time 0, in a new session when the last run was not finished."""
        self._translating_errors(self._start, seed, settings)

    def keep(self, file: Path | None) -> None:
        """Our own process is started again, with the file or without. Raises LinkError."""
        if self.spawned is None or self.real_time:
            where = f"'{self.name}'" + (" in real time" if self.real_time else "")
            raise LinkError(f"the bench cannot switch the power of {where}")
        self.close()
        self.spawned = Spawned(self._game, extra=("--kept", str(file)) if file else ())
        port = open_port(self.spawned.port)
        self.spawned.release_line()
        self._open(port, self._game, self.patience_s, self.clock)

    def contact(self, switch: int, closed: bool) -> None:
        """Change a contact at the present time; in lock-step the frame is sent with the next `advance`."""
        self._link.send(frames.CONTACT, struct.pack("<HB", switch, closed))
        if self.real_time:
            self._translating_errors(self._link.flush)

    def advance(self, until_ms: int) -> int:
        """Run to `until_ms`, or to just after a COIL record; returns the time reached."""
        return self._translating_errors(self._follow if self.real_time else self._advance, until_ms)

    def records(self) -> bytes:
        """The records since the last call."""
        records = bytes(self._records)
        self._records.clear()
        return records

    def finish(self) -> bytes:
        """The device's digest of its trace, once it equals that of the received records."""
        return self._translating_errors(self._finish)

    def windows(self) -> list[int]:
        """Of each window the ms left; 0: closed, negative: it stands still."""
        return self._translating_errors(self._ask, frames.WINDOWS)

    def values(self) -> list[int]:
        """Every value of the game; those of a player are the playing player's."""
        return self._translating_errors(self._ask, frames.VALUES)

    def heat(self) -> list[int]:
        """The heat of each coil in thousandths of what it bears."""
        return self._translating_errors(self._ask, frames.HEAT)

    def close(self) -> None:
        """Switch everything off, close the line, end the process; never raises."""
        self._link.close()
        self._states.take("close")
        self._end_process()

    @property
    def state(self) -> str:
        """What the host's side of the link is doing: a state of hil.bench.targets.link_states."""
        return self._states.state

    def _end_process(self) -> None:
        if self.spawned:
            self.spawned.close()

    def _translating_errors(
        self, act: Callable[Given, Made], *arguments: Given.args, **named: Given.kwargs
    ) -> Made:
        """Call `act`; a crash of the rules becomes MachineStopped, errors tell how our process ended."""
        try:
            return act(*arguments, **named)
        except DeviceGaveUp as error:
            self._states.take("lose")
            if error.reason == frames.CRASHED:
                raise MachineStopped(error.words) from None
            raise
        except LinkError as error:
            self._states.take("lose")
            words = self.spawned.exit_message() if self.spawned else ""
            ended = f" (the MicroPython process ended: {words})" if words else ""
            raise LinkError(error.text + ended) from None

    def _start(self, seed: int, settings: dict[str, int]) -> None:
        if self._states.state != READY:
            self._identify()
        self._fresh()
        for name, value in settings.items():
            place = self._settings.index(name)
            self._link.send(frames.SETTING, struct.pack("<Bi", place, value))
        mode = frames.REAL_TIME if self.real_time else frames.LOCK_STEP
        self._link.send(frames.START, struct.pack("<BI", mode, seed))
        self._link.flush()
        self._run += 1
        self._states.take("start")
        self._expect(frames.STARTED, 0)

    def greet(self) -> None:
        """Begin a session and close. Raises LinkError unless the device runs exactly this game."""
        try:
            self._translating_errors(self._identify)
        finally:
            self.close()

    def _identify(self) -> None:
        self._states.take("ask")
        self._greet()
        self._states.take("welcome")

    def _greet(self) -> None:
        self._nonce = secrets.token_bytes(frames.NONCE)
        self._run = 0
        welcome = self._link.greet(self._nonce, self.patience_s)
        name, _, ended = welcome[1 + frames.DIGEST :].decode("utf-8", "replace").partition("\0")
        if len(welcome) < 1 + frames.DIGEST:
            raise self._link.fail("the device's answer to HELLO is too short")
        if welcome[0] != frames.PROTOCOL:
            raise self._link.fail(f"the device speaks protocol {welcome[0]}, not {frames.PROTOCOL}")
        if name != self._game.name:
            raise self._link.fail(f"the device runs the game '{name}', asked for was '{self._game.name}'")
        wrong = self._judge_identity(welcome[1 : 1 + frames.DIGEST])
        if wrong:
            raise self._link.fail(wrong)
        self.ended = ended

    def _judge_identity(self, answer: bytes) -> str:
        """Why the device is not the requested one; "" when it runs these sources, or an image of them."""
        if answer == identity(self._nonce, self._game):
            return ""
        name = self._game.name
        if self.spawned or self.name == OPEN:
            return (
                f"the device's files are not those of this firmware and '{name}', or its answer is an old one"
            )
        for found in deployed.known(self._image):
            if answer == found.image.identify(self._nonce, found.slot):
                if found.runs(self._game, BOARD):
                    return ""
                return f"the board runs another version of the firmware or of '{name}'; deploy it again"
        return "the board runs no image that was deployed from here; name its image with --image FILE"

    def _advance(self, until_ms: int) -> int:
        self._link.send(frames.ADVANCE, struct.pack("<I", until_ms))
        self._link.flush()
        deadline = self.clock() + LONGEST_S
        while self.clock() < deadline:
            kind, payload = self._link.receive(self.patience_s)
            if kind == frames.DONE:
                return self._done(payload, until_ms)
            self._take(kind, payload, until_ms)
        raise self._link.fail(f"the device did not reach {until_ms} ms within {LONGEST_S:g} s")

    def _follow(self, until_ms: int) -> int:
        self._link.send(frames.ADVANCE, struct.pack("<I", until_ms))
        heard = now = self.clock()
        deadline = now + max(0, until_ms - self._now) / 1000 + LATE_S
        while True:
            if now >= self._alive_due:
                self._link.send(frames.ALIVE)
                self._alive_due = now + ALIVE_S
            self._link.flush()
            frame = self._link.poll(self._alive_due - now)
            now = self.clock()
            if frame and frame[0] == frames.DONE:
                return self._done(frame[1], 1 << 30)
            if frame:
                heard = now
                if frame[0] != frames.PRESENT:
                    self._take(*frame, 1 << 30)
            elif now - heard > LATE_S:
                raise self._link.fail(f"nothing came from the device for {LATE_S:g} s")
            if now > deadline:
                raise self._link.fail(f"the device did not reach {until_ms} ms in time")

    def _take(self, kind: int, payload: bytes, until_ms: int) -> None:
        """Store a frame of records. Raises LinkError unless their times are in order, up to `until_ms`."""
        if kind != frames.RECORDS or not payload or len(payload) % RECORD:
            raise self._link.fail(f"the device sent a frame of type {kind} that does not belong here")
        first = int.from_bytes(payload[:4], "little")
        last = int.from_bytes(payload[-RECORD : 4 - RECORD], "little")
        if not self._last_ms <= first <= last <= until_ms:
            raise self._link.fail(f"the device sent records of {first} to {last} ms: out of their time")
        self._last_ms = last
        self._count += len(payload) // RECORD
        self._sha.update(payload)
        self._records += payload

    def _done(self, payload: bytes, until_ms: int) -> int:
        if len(payload) != 12:
            raise self._link.fail("the device sent a DONE of the wrong size")
        reached, count, lost = struct.unpack("<III", payload)
        if lost or count != self._count:
            raise self._link.fail(
                f"of the device's {count} records {self._count} came, and {lost} records or events were lost"
            )
        if not self._now <= reached <= until_ms:
            raise self._link.fail(f"the device went from {self._now} to {reached} ms, not to {until_ms}")
        self._now = int(reached)
        return self._now

    def _ask(self, what: int) -> list[int]:
        """Every number of one kind: a question, and one more after each full answer."""
        numbers: list[int] = []
        full = True
        while full:
            self._link.send(frames.ASK, struct.pack("<BH", what, len(numbers)))
            self._link.flush()
            kind, payload = self._link.receive(self.patience_s)
            while self.real_time and kind in (frames.RECORDS, frames.PRESENT):
                if kind == frames.RECORDS:
                    self._take(kind, payload, 1 << 30)
                kind, payload = self._link.receive(self.patience_s)
            place = struct.pack("<BH", what, len(numbers))
            if kind != frames.FACTS or payload[:3] != place or len(payload) % 4 != 3:
                raise self._link.fail(f"the device answered ASK with a frame of type {kind}")
            answer = [n for (n,) in struct.iter_unpack("<i", payload[3:])]
            numbers += answer
            full = len(answer) == frames.FACTS_MOST
        return numbers

    def _finish(self) -> bytes:
        self._link.send(frames.FINISH)
        self._link.flush()
        kind, payload = self._link.receive(self.patience_s)
        while self.real_time and kind in (frames.RECORDS, frames.PRESENT):
            if kind == frames.RECORDS:
                self._take(kind, payload, 1 << 30)
            kind, payload = self._link.receive(self.patience_s)
        if kind != frames.FINISHED or len(payload) != 2 * frames.DIGEST + 4:
            raise self._link.fail(f"the device answered FINISH with a frame of type {kind}")
        digest = self._checked_digest(payload)
        self._states.take("finish")
        return digest

    def _checked_digest(self, payload: bytes) -> bytes:
        digest = payload[: frames.DIGEST]
        count = int.from_bytes(payload[frames.DIGEST : frames.DIGEST + 4], "little")
        if payload[frames.DIGEST + 4 :] != proof(self._nonce, self._run, digest):
            raise self._link.fail("the device's digest is not of this session: an old trace")
        if count != self._count or digest != self._sha.digest():
            raise self._link.fail("the device's digest is not that of the records that came")
        return digest

    def _expect(self, kind: int, size: int) -> None:
        got, payload = self._link.receive(self.patience_s)
        if got != kind or len(payload) != size:
            raise self._link.fail(f"the device sent a frame of type {got}, expected was {kind}")


def identity(nonce: bytes, game: Game) -> bytes:
    """The answer to `nonce` of a device that runs exactly these files; see firmware.link.identity."""
    sha = hashlib.sha256(nonce)
    for path, content in game.identity_files():
        sha.update(path.encode() + b"\0" + len(content).to_bytes(4, "little") + content)
    return sha.digest()


def proof(nonce: bytes, run: int, digest: bytes) -> bytes:
    """The hash that binds a digest to this session's nonce and its run number (from 1)."""
    return hashlib.sha256(nonce + run.to_bytes(4, "little") + digest).digest()
