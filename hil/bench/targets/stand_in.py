"""A driver board tested through its connectors: contacts go over a stand-in for its playfield.

The board runs in real time as behind any line. The stand-in closes its switches and says which drives and
lamps it saw on; at the end both are compared with what the board says it did.
"""

import hashlib
import secrets
import struct
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from boards.stand_in.contacts import MATRIX
from boards.stand_in.pins import DRIVES, ROWS
from boards.stand_in.session import LAMPS, NAME, SEEN
from firmware.base.trace import COIL, LAMP
from firmware.link import frames
from hil.bench.targets.link import Link, Port
from hil.bench.targets.target import Target
from hil.bench.view import OFF, ON, decode
from hil.game_tables import coil_rows, lamp_rows, switch_rows
from hil.games import Game

SLICE_MS = 100  # the stand-in is asked so often at least
PATIENCE_S = 2.0
TOLERANCE_MS = 4
SETTLE_MS = 100  # of lamps and drives before the last look
CHANGE = struct.Struct("<IHH")  # ms, line, level
PRESENT = struct.Struct("<II")  # ms, changes lost


class StandInLine:
    """The stand-in's own line. All methods raise LinkError."""

    def __init__(self, port: Port, clock: Callable[[], float] = time.monotonic) -> None:
        self._link = Link(port, clock)
        self.open_all()

    def open_all(self) -> None:
        """Open every contact, and begin anew: changes from before are forgotten."""
        nonce = secrets.token_bytes(frames.NONCE)
        welcome = self._link.greet(nonce, PATIENCE_S)
        if welcome != bytes((frames.PROTOCOL,)) + hashlib.sha256(nonce + NAME).digest() + NAME:
            raise self._link.fail("that is no stand-in for a playfield")

    def contact(self, place: int, closed: bool) -> None:
        """Close or open the contact at a place of boards.stand_in.contacts."""
        self._link.send(frames.CONTACT, struct.pack("<HB", place, closed))
        self._link.flush()

    def changes(self) -> list[tuple[int, int, int]]:
        """Changes of drives and lamps since the last call: ms, line, level."""
        found: list[tuple[int, int, int]] = []
        self._link.send(frames.ALIVE)
        self._link.flush()
        while True:
            kind, payload = self._link.receive(PATIENCE_S)
            if kind == SEEN and len(payload) % CHANGE.size == 0:
                found += [(ms, line, level) for ms, line, level in CHANGE.iter_unpack(payload)]
            elif kind == frames.PRESENT and len(payload) == PRESENT.size:
                if lost := PRESENT.unpack(payload)[1]:
                    raise self._link.fail(f"the stand-in lost {lost} changes of drives and lamps")
                return found
            else:
                raise self._link.fail(f"the stand-in sent a frame of type {kind} that does not belong here")

    def lamps(self) -> list[int]:
        """Of each lamp column the rows that are lit."""
        self._link.send(frames.ASK, bytes((LAMPS, 0, 0)))
        self._link.flush()
        kind, payload = self._link.receive(PATIENCE_S)
        if kind != frames.FACTS:
            raise self._link.fail(f"the stand-in answered ASK with a frame of type {kind}")
        return [rows for (rows,) in struct.iter_unpack("<i", payload[3:])]

    def close(self) -> None:
        """Open every contact and give the line back; never raises."""
        self._link.close()


@dataclass
class Drive:
    """What one drive was to do and did: on-times in ms. The drive of a flipper's two windings are two."""

    asked: list[int] = field(default_factory=list)
    seen: list[int] = field(default_factory=list)
    since: int | None = None  # commanded on and not off yet: when, and
    pulse: int = 0  # for so long, 0: until it is switched off
    seen_since: int | None = None


class StandInTarget:
    """The board at `board`, whose contacts come through the stand-in at `line`."""

    def __init__(self, board: Target, line: StandInLine, game: Game) -> None:
        self.name = f"{board.name} through a stand-in"
        self._board = board
        self._line = line
        wiring = game.wiring
        inverted = getattr(wiring, "INVERTED", ())
        self._places = [place_of(row.row, row.column) for row in switch_rows(wiring)]
        self._inverted = [row.name in inverted for row in switch_rows(wiring)]
        self._coils = [(row.name, row.drive) for row in coil_rows(wiring)]
        self._lamps = [(row.name, row.row, row.column) for row in lamp_rows(wiring)]
        self._drives: dict[int, Drive] = {}
        self._patterns: dict[int, int] = {}
        self._records = bytearray()
        self._lit: list[int] = []
        self._now = 0

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start a fresh console; every contact is as when nobody touches it."""
        self._line.open_all()
        for switch, inverted in enumerate(self._inverted):
            if inverted:
                self.contact(switch, False)
        self._board.start(seed, settings)
        self._drives = {drive: Drive() for _, drive in self._coils if drive <= DRIVES}
        self._patterns = dict.fromkeys(range(len(self._lamps)), OFF)
        self._now = 0

    def contact(self, switch: int, closed: bool) -> None:
        """Change a contact through the connectors."""
        self._line.contact(self._places[switch], closed != self._inverted[switch])

    def advance(self, until_ms: int) -> int:
        """Run on, for a slice at most, and ask the stand-in what it saw."""
        self._now = self._board.advance(min(until_ms, self._now + SLICE_MS))
        self._read()
        self._see()
        return self._now

    def records(self) -> bytes:
        """The records since the last call."""
        self._read()
        records = bytes(self._records)
        self._records.clear()
        return records

    def finish(self) -> bytes:
        """The board's own digest; what is lit and on is looked at before."""
        end = self._now + SETTLE_MS
        while self._now < end:
            self.advance(end)
        self._lit = self._line.lamps()
        digest = self._board.finish()
        self._read()
        self._see()
        return digest

    def close(self) -> None:
        """Leave both with everything off; never raises."""
        self._line.close()
        self._board.close()

    def differences(self) -> list[str]:
        """After `finish`: where what the stand-in saw is not what the board says it did, a sentence each."""
        return [*self._drive_differences(), *self._lamp_differences()]

    def _read(self) -> None:
        data = self._board.records()
        self._records += data
        for record in decode(data):
            if record.kind == COIL and self._coils[record.id][1] in self._drives:
                self._command(self._drives[self._coils[record.id][1]], record.value, record.ms)
            elif record.kind == LAMP:
                self._patterns[record.id] = record.value

    def _command(self, drive: Drive, value: int, ms: int) -> None:
        """A COIL record: a pulse in ms, −1 held on, 0 off."""
        if drive.since is not None:
            past = ms - drive.since
            drive.asked.append(min(past, drive.pulse) if drive.pulse else past)
        drive.since = ms if value else None
        drive.pulse = max(0, value)

    def _see(self) -> None:
        for ms, line, level in self._line.changes():
            drive = self._drives.get(line)
            if drive is None:
                continue
            if level:
                drive.seen_since = ms
            elif drive.seen_since is not None:
                drive.seen.append(ms - drive.seen_since)
                drive.seen_since = None

    def _drive_differences(self) -> list[str]:
        found = []
        for name, number in self._coils:
            drive = self._drives.get(number)
            if drive is None:
                continue
            asked = [*drive.asked, drive.pulse] if drive.since is not None and drive.pulse else drive.asked
            if len(asked) != len(drive.seen):
                found.append(
                    f"coil {name}: drive {number} was on {len(drive.seen)} times, the board says {len(asked)}"
                )
                continue
            for told, seen in zip(asked, drive.seen, strict=True):
                if abs(told - seen) > TOLERANCE_MS:
                    found.append(
                        f"coil {name}: drive {number} was on for {seen} ms, the board says {told} ms"
                    )
        return found

    def _lamp_differences(self) -> list[str]:
        """Lamps that blink are not judged."""
        found = []
        for at, (name, row, column) in enumerate(self._lamps):
            pattern = self._patterns[at]
            if not row or pattern not in (ON, OFF):
                continue
            lit = self._lit[column - 1] >> row - 1 & 1
            if lit != pattern:
                words = ("dark", "lit")
                found.append(
                    f"lamp {name} was {words[lit]} at the end, the board says it is {words[pattern]}"
                )
        return found


def place_of(row: int, column: int) -> int:
    """A switch's place for the stand-in; in row 0 of the wiring table the column numbers direct inputs."""
    return MATRIX + column - 1 if row == 0 else (column - 1) * ROWS + row - 1
