"""Scripts behind a bad line and with faulty wires: what is damaged, how it is told, what is refused."""

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.bench.targets import faulty_wires
from hil.bench.targets.bad_line import BadLine
from hil.bench.targets.faulty_wires import FaultyWires
from hil.command.replay import replay
from hil.game_tables import SwitchRow, switch_rows

KIT_ROOM = games.load("kit_room")
SCRIPT = str(KIT_ROOM.scripts / "tilt_on_the_third_swing.play")


class HeldBack:
    """A port that gives what was put in, at most `at_once` bytes a read."""

    def __init__(self, data, at_once):
        self.data = data
        self.at_once = at_once
        self.sent = b""
        self.in_waiting = 0

    def read(self, size):
        part, self.data = self.data[: self.at_once], self.data[self.at_once :]
        return part

    def write(self, data):
        self.sent += data

    def close(self):
        pass


FRAMES = b"".join(bytes([n % 255 + 1] * 20) + b"\0" for n in range(200))


def through(line, at_once, turn=1):
    port = line.port(HeldBack(FRAMES, at_once), turn, clock=lambda: 0.0)
    return b"".join(port.read(1) for _ in range(len(FRAMES) + 1))


@pytest.mark.parametrize(
    "text", ["flips 0.001, seed 3", "drops 0.01", "doubles 0.01", "flips 0.001, drops 0.01"]
)
def test_a_seed_damages_the_same_frames_however_they_are_read(text):
    line = BadLine.read(text)
    assert through(line, 1) == through(line, 64) != FRAMES
    assert through(line, 64, turn=2) != through(line, 64)


def test_dropped_and_doubled_bytes_change_the_length():
    assert (
        len(through(BadLine.read("drops 0.01"), 64))
        < len(FRAMES)
        < len(through(BadLine.read("doubles 0.01"), 64))
    )


def test_frames_to_the_host_come_late_and_in_order():
    now = [0.0]
    port = BadLine.read("delays 20 ms").port(HeldBack(FRAMES, 4096), 1, clock=lambda: now[0])
    first = port.read(1)
    assert len(first) < len(FRAMES)
    now[0] = 0.02
    come = first + port.read(1)
    assert come == FRAMES[: len(come)]
    assert len(come) >= 4096 // 21 * 21


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("flip 0.1", "'flip 0.1' is no damage of a line"),
        ("flips 2", "the rate of flips is a chance above 0 and below 1, not 2"),
        ("delays 5000 ms", "a line delays by 1 to 1000 ms, not 5000"),
        ("seed 1, seed 2", "'seed' is given twice"),
    ],
)
def test_other_damage_is_refused(text, words):
    with pytest.raises(UsageError, match=words):
        BadLine.read(text)


ROWS = [
    SwitchRow("a", "rollover", "playfield", 1, 1),
    SwitchRow("b", "rollover", "playfield", 1, 2),
    SwitchRow("c", "rollover", "playfield", 2, 1),
    SwitchRow("d", "button", "cabinet", 0, 1),
]


class Recorder:
    """A target that records contacts with their times."""

    name = "recorder"

    def __init__(self):
        self.now = 0
        self.seen = []

    def start(self, seed, settings):
        self.now = 0

    def contact(self, switch, closed):
        self.seen.append((self.now, ROWS[switch].name, closed))

    def advance(self, until_ms):
        self.now = until_ms
        return until_ms


def played(*faults):
    """What a machine reads of a, closed from 10 to 20 ms."""
    recorder = Recorder()
    target = FaultyWires(recorder, faulty_wires.read(faults, ROWS))
    target.start(1, {})
    for until, closed in ((10, True), (20, False), (40, None)):
        now = 0
        while now < until:
            now = target.advance(until)
        if closed is not None:
            target.contact(0, closed)
    return recorder.seen


def test_a_bouncing_contact_settles_at_its_level():
    assert played("a bounces 4 ms") == [
        *((10 + at, "a", at % 2 == 0) for at in range(5)),
        *((20 + at, "a", at % 2 == 1) for at in range(5)),
    ]


def test_stuck_and_broken_contacts_do_not_change():
    assert played("a stuck closed") == [(0, "a", True)]
    assert (
        played("a broken")
        == played("a stuck open")
        == played("column 1 broken")
        == played("row 1 broken")
        == []
    )


def test_shorted_columns_read_both_switches_of_a_row():
    assert played("columns 1 and 2 shorted") == [
        (10, "a", True),
        (10, "b", True),
        (20, "a", False),
        (20, "b", False),
    ]


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("aa stuck closed", "there is no switch 'aa'"),
        ("a bounces 900 ms", "a switch bounces for 1 to 200 ms, not 900"),
        ("a is off", "'a is off' is no fault of a switch"),
        ("column 7 broken", "'column 7 broken': no such column"),
        ("columns 2 and 3 shorted", "touches no two switches"),
    ],
)
def test_other_faults_are_refused(fault, words):
    with pytest.raises(UsageError, match=words):
        faulty_wires.read((fault,), ROWS)


def test_a_wire_s_verdict_names_the_fault_and_counts_what_noticed_it(capsys):
    tilt = next(row.name for row in switch_rows(KIT_ROOM.wiring) if row.name == "tilt")
    assert replay([SCRIPT], wire=[f"{tilt} broken"]) == 1
    told = capsys.readouterr().out
    assert "on desk with tilt broken" in told
    assert "with tilt broken: 0 of 1 scripts PASS, 1 notice it; the machine's fault log has" in told


def test_the_desk_has_no_line():
    with pytest.raises(UsageError, match="--line damages a serial line, and 'desk' has none"):
        replay([SCRIPT], line="flips 0.1")


@pytest.mark.micropython
def test_damage_that_is_noticed_is_invalid_and_delays_alone_are_harmless(capsys):
    assert replay([SCRIPT], on="micropython", line="drops 0.05, seed 1") == 3
    assert "0 of 1 scripts came through" in capsys.readouterr().out
    assert replay([SCRIPT], on="micropython", line="delays 3 ms") == 0
    assert "1 of 1 scripts came through with the trace of a good line" in capsys.readouterr().out
