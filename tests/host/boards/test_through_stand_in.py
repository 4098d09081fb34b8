"""A driver board tested through its connectors: its program, the stand-in's parts, and wires between."""

import hashlib
import struct
from array import array
from pathlib import Path
from typing import Any

import pytest
import typer
from board_program import Program
from typer.testing import CliRunner

from boards.stand_in.contacts import LEVELS, Contacts
from boards.stand_in.samples import Samples
from boards.stand_in.session import NAME, SEEN, Session
from firmware.base.errors import LinkError, UsageError
from firmware.link import frames
from hil import games
from hil.bench.outcome import FAIL, PASS, Outcome
from hil.bench.scripts import script, vocabulary
from hil.bench.session import Session as BenchSession
from hil.bench.targets import wire
from hil.bench.targets.linked import LinkTarget
from hil.bench.targets.stand_in import StandInLine, StandInTarget, place_of
from hil.command import replay
from hil.command.script_bench import judge_stand_in
from simulator.plant import Plant

GAME = games.load("honey_flow")
SAMPLES = 2048
EACH_MS = 4
SCRIPT = """title One ball through the connectors
set free_play to 1
wait 1 s
start 1 player
expect coil trough_eject fired within 5 s
launch
wait 2 s
tap meadow.1
expect coil bumper.1 fired
wait 1 s
"""


class Wired(Program):
    """A board whose switches, drives and lamps end at a stand-in."""

    def __init__(self, chip: Any, file: Path) -> None:
        self.contacts = Contacts(bytearray(LEVELS))
        self.ring = array("i", [0xFFFFFF, 0xFF] * SAMPLES)
        self.samples = Samples(self.ring, 0, SAMPLES)
        self.patterns: dict[int, int] = {}
        self.cut = 0  # drives whose wire to the stand-in is off
        self.written = 0
        super().__init__(chip, GAME, file, 48.0)
        self.connected = 0xFFFF
        self.stuck = -1  # a lamp that is lit whatever the board says
        self.hardware.slow_outputs.lamp = self.patterns.__setitem__
        self.hardware.slow_outputs.dark = self.patterns.clear
        self.session = Session(self.contacts, self.samples, self._said, lambda: None)
        self.to_host = bytearray()

    def _said(self, data: bytearray, end: int) -> None:
        self.to_host += data[:end]

    def scanned(self) -> None:
        for column in range(8):
            self.rows[column] = self.contacts.rows[255 & ~(1 << column)]
        self.direct = self.contacts.direct
        super().scanned()

    def turn(self) -> None:
        super().turn()
        on = self.outputs & ~self.cut if self.inputs() & 1 << 12 == 0 else 0
        column = self.now % 8
        rows = 0
        for at, row in enumerate(GAME.wiring.LAMPS):
            if row[3] - 1 == column and (self.patterns.get(at) == 1 or at == self.stuck):
                rows |= 1 << row[2] - 1
        for _ in range(EACH_MS):
            self.ring[2 * self.written] = 0xFFFFFF & ~on
            self.ring[2 * self.written + 1] = 1 << column << 8 | (0xFF & ~rows)
            self.written = (self.written + 1) % SAMPLES
        self.samples.look(self.written)
        self.session.tick(self.now)


class StandInPort:
    """The stand-in's line; time passes while somebody waits for it."""

    def __init__(self, board: Wired) -> None:
        self.board = board

    @property
    def in_waiting(self) -> int:
        return len(self.board.to_host)

    def read(self, size: int, /) -> bytes:
        if not self.board.to_host:
            self.board.turn()
        found = bytes(self.board.to_host[:size])
        del self.board.to_host[:size]
        return found

    def write(self, data: bytes, /) -> int:
        for byte in data:
            self.board.session.take(byte, self.board.now)
        return len(data)

    def close(self) -> None:
        """Nothing to give back."""


@pytest.fixture
def board(chip: Any, tmp_path: Path) -> Wired:
    made = Wired(chip, tmp_path / "bring_up")
    made.wait(2600)
    return made


def through(board: Wired) -> StandInTarget:
    clock = lambda: board.now / 1000  # noqa: E731 - one clock for both lines
    target = LinkTarget.over(board.wire, GAME, True, clock=clock)
    return StandInTarget(target, StandInLine(StandInPort(board), clock), GAME)


def play(board: Wired, text: str = SCRIPT) -> Outcome:
    words = vocabulary.of_game(GAME)
    played = script.parse(text, Path("through.play"), words)
    names = words.names
    plant = Plant(GAME.tables("routes"), tuple(names.switches), tuple(names.coils), seed=1)
    target = through(board)
    outcome = BenchSession(played, target, words, GAME.wiring, plant, True).run()
    judge_stand_in(outcome, target)
    return outcome


def test_a_script_passes_through_the_connectors_with_the_coil_supply_on(board: Wired) -> None:
    outcome = play(board)
    assert (outcome.code, outcome.reason, outcome.problems) == (PASS, "", [])
    assert board.feeds > 1000


@pytest.mark.slow
def test_a_wire_that_is_off_is_told_with_its_coil_and_drive(board: Wired) -> None:
    drive = next(row[5] for row in GAME.wiring.COILS if row[0] == "bumper.1")
    board.cut = 1 << drive - 1
    outcome = play(board)
    assert outcome.code == FAIL
    assert [one.seen for one in outcome.problems] == [
        f"coil bumper.1: drive {drive} was on 0 times, the board says 1"
    ]


@pytest.mark.slow
def test_a_lamp_that_is_lit_and_should_not_be_is_told(board: Wired) -> None:
    at, row = next((at, row) for at, row in enumerate(GAME.wiring.LAMPS) if row[0] == "rung.5")
    board.stuck = at
    outcome = play(board)
    assert outcome.code == FAIL
    assert [one.seen for one in outcome.problems] == [
        f"lamp {row[0]} was lit at the end, the board says it is dark"
    ]


@pytest.mark.slow
def test_a_contact_that_the_stand_in_does_not_close_is_seen_by_the_script(board: Wired) -> None:
    board.contacts.set = lambda place, closed: None  # type: ignore[method-assign]
    outcome = play(board)
    assert outcome.code == FAIL
    assert outcome.problems[0].line == 4, "the line that starts a game"


@pytest.mark.parametrize("row", GAME.wiring.SWITCHES, ids=lambda row: row[0])
def test_each_switch_has_the_place_at_which_the_board_reads_it(row: Any) -> None:
    contacts = Contacts(bytearray(LEVELS))
    contacts.set(place_of(row[3], row[4]), True)
    if row[3]:
        assert contacts.rows[255 & ~(1 << row[4] - 1)] == 1 << row[3] - 1
    else:
        assert contacts.direct == 1 << row[4] - 1


# The stand-in's line ------------------------------------------------------------------------------


class Answers:
    """A port behind which a device answers each frame but HELLO with the next of these."""

    def __init__(self, *answers: tuple[int, bytes], name: bytes = NAME) -> None:
        self.answers = list(answers)
        self.name = name
        self.out = bytearray()
        self.sent = 0

    @property
    def in_waiting(self) -> int:
        return len(self.out)

    def read(self, size: int, /) -> bytes:
        found = bytes(self.out[:size])
        del self.out[:size]
        return found

    def write(self, data: bytes, /) -> int:
        for chunk in data.split(b"\0"):
            if chunk:
                _, kind, payload = wire.unpack(chunk)
                if kind == frames.HELLO:
                    digest = hashlib.sha256(payload[: frames.NONCE] + self.name).digest()
                    self.say(frames.WELCOME, bytes((frames.PROTOCOL,)) + digest + self.name)
                else:
                    self.say(*self.answers.pop(0))
        return len(data)

    def say(self, kind: int, payload: bytes) -> None:
        self.out += wire.pack(self.sent, kind, payload)
        self.sent += 1

    def close(self) -> None:
        """Nothing to give back."""


CHANGES = (SEEN, struct.pack("<IHHIHH", 10, 3, 1, 40, 3, 0))


def test_changes_come_until_the_answer_that_ends_them() -> None:
    line = StandInLine(Answers(CHANGES))
    port = line._link._port
    assert isinstance(port, Answers)
    port.answers = []
    port.say(*CHANGES)
    port.answers.append((frames.PRESENT, struct.pack("<II", 50, 0)))
    assert line.changes() == [(10, 3, 1), (40, 3, 0)]


def test_changes_that_were_lost_make_the_run_invalid() -> None:
    line = StandInLine(Answers((frames.PRESENT, struct.pack("<II", 50, 7))))
    with pytest.raises(LinkError, match="lost 7 changes"):
        line.changes()


def test_another_device_at_its_port_is_refused() -> None:
    with pytest.raises(LinkError, match="no stand-in"):
        StandInLine(Answers(name=b"honey_flow"))


def test_a_stand_in_goes_with_a_board_in_real_time() -> None:
    app = typer.Typer()
    replay.register(app)
    for words in (["--through", "/dev/x"], ["--through", "/dev/x", "--on", "micropython", "--real-time"]):
        result = CliRunner().invoke(app, ["honey_flow", *words], standalone_mode=False)
        assert isinstance(result.exception, UsageError)
        assert "--on PORT --through PORT_TWO --real-time" in str(result.exception)
