"""The bring-up steps of the work sheets, replayed against the board's program between its models."""

from pathlib import Path
from typing import Any

import pytest
from board_program import Program

from hil import games
from hil.command import bring_up as command
from hil.command.bring_up import told
from hil.electrical.worksheets.bring_up import HAND_S, STEPS, eject, script
from hil.game_tables import coil_rows, setting_rows, switch_rows

GAME = games.load("honey_flow")
DRIVES = {row.name: row.drive for row in coil_rows(GAME.wiring)}
FIRST = eject(GAME.wiring)
ALL = 0xFFFF
LIGHT, SWITCHES, ONE_DRIVE, FIRST_COIL, FAIL_SAFE, FULL = range(len(STEPS))
SUPPLIES = [48.0, *(pytest.param(volts, marks=pytest.mark.slow) for volts in (12.0, 24.0, 60.0))]
REFUSED = "was asked for and refused: drive 1 alone may be driven"


class Machine:
    """One board through its steps: its bring-up file outlasts each start."""

    def __init__(self, chip: Any, folder: Path) -> None:
        self.chip = chip
        self.file = folder / "bring_up"
        self.volts_low = 33_600  # of its wiring table: 0.7 of the coil supply

    def start(self, volts: float, connected: int, was_reset: bool = False) -> Program:
        """Switch it on, until it plays."""
        made = Program(self.chip, GAME, self.file, volts, was_reset, self.volts_low)
        made.connected = connected
        made.move("service_key", 1)
        made.wait(2600)
        return made

    def begin(self, coil: str) -> None:
        """What `inlane bring-up --coil` writes."""
        self.file.write_text(f"{DRIVES[coil]} 0")

    def left(self) -> str:
        return told(self.file.read_text().split() if self.file.exists() else [])

    def pass_trials(self, connected: int = 1) -> Program:
        """Door, feed wire and reset; the board in the start after the reset."""
        board = self.start(12, connected)
        board.shut = False
        board.wait(200)
        board.shut = True
        board.wait(500)
        board.feed_wire = False
        board.wait(200)
        board.feed_wire = True
        board.wait(500)
        assert board.end == ""
        return self.start(12, connected, was_reset=True)


def text(step: int) -> str:
    return script(STEPS[step], GAME.wiring, setting_rows(GAME.module))


def passes(board: Program, step: int) -> None:
    outcome = board.play(text(step))
    assert (outcome.code, outcome.reason, outcome.problems, board.end) == (0, "", [], "")


@pytest.fixture
def machine(chip: Any, tmp_path: Path) -> Machine:
    return Machine(chip, tmp_path)


@pytest.mark.parametrize("volts", SUPPLIES)
def test_every_step_passes(machine: Machine, volts: float) -> None:
    machine.volts_low = round(volts * 700)
    passes(machine.start(0, 0), LIGHT)
    machine.begin(FIRST)
    passes(machine.start(12, 1), ONE_DRIVE)
    passes(machine.start(12, 1), FIRST_COIL)
    board = machine.pass_trials()
    assert "failed safe" in machine.left()
    passes(board, FAIL_SAFE)
    passes(machine.start(volts, ALL), FULL)


@pytest.mark.slow
def test_every_switch_by_hand_passes(machine: Machine) -> None:
    board = machine.start(0, 0)
    at = board.now + 500
    for row in switch_rows(GAME.wiring):
        board.hands += [(at, row.name, 1), (at + 400, row.name, 0)]
        at += 800
    assert at < HAND_S * 1000 * len(board.hands)
    passes(board, SWITCHES)


def test_without_bring_up_one_coil_at_12_volts_is_a_fault_and_no_pass(
    machine: Machine,
) -> None:
    """The control: drains of coils that are not connected are low."""
    board = machine.start(12, 1)
    assert board.end.startswith("a drive is stuck on: ")
    assert board.play(text(FIRST_COIL)).code == 3


def test_in_bring_up_without_anything_on_the_drive_it_is_a_fault(machine: Machine) -> None:
    machine.begin(FIRST)
    assert machine.start(12, 0).end == "a drive is stuck on: 1"


@pytest.mark.parametrize("volts", [24.0, 48.0])
def test_the_coil_supply_before_the_trials_is_a_fault(machine: Machine, volts: float) -> None:
    machine.begin(FIRST)
    board = machine.start(volts, ALL)
    assert board.end.startswith("the coil bus has more than 15 V before")
    assert board.outputs == 0
    assert board.play(text(FULL)).code == 3


def test_every_other_coil_is_refused_and_the_last_step_does_not_pass(machine: Machine) -> None:
    machine.begin(FIRST)
    board = machine.start(12, ALL)
    outcome = board.play(text(FULL))
    assert outcome.code == 1
    assert "fired" in outcome.problems[0].expected
    assert board.hardware.kept_off
    assert board.end == ""


def test_standing_alone_it_says_once_which_drive_was_refused(machine: Machine) -> None:
    machine.begin(FIRST)
    board = machine.start(12, 1)
    console = board.loop.console()
    knocker = list(DRIVES).index("knocker")
    for _ in range(3):
        console.coils.fire(knocker, 20)
        board.wait(100)
    said = [words for words in board.wire.said if REFUSED in words]
    assert said == [f"bring-up: drive {DRIVES['knocker']} {REFUSED}"]
    assert console.play.faults.names == ["coil_in_bring_up"]
    assert board.outputs == 0


def test_its_displays_and_its_line_show_the_state(machine: Machine) -> None:
    shown: list[int] = []
    machine.begin(FIRST)
    board = machine.start(12, 1)
    board.hardware.slow_outputs.text = lambda chunk, cells: shown.append(chunk)
    before = len(board.wire.said)
    board.wait(10_100)
    assert board.wire.said[before:] == [
        "bring-up: drive 1 alone, up to 15 V; still to be tried: door, feed wire, reset"
    ]
    assert shown


def test_a_long_run_of_a_bench_is_not_disturbed_by_sentences(machine: Machine) -> None:
    machine.begin(FIRST)
    board = machine.start(12, 1)
    outcome = board.play("title long\nballs moved\nwait 12 s\n")
    assert (outcome.code, outcome.reason) == (0, "")


def test_the_command_asks_for_each_trial_and_ends_well_only_when_all_were_seen(capsys: Any) -> None:
    first = "bring-up: drive 1 alone, up to 15 V; still to be tried: door, feed wire, reset"
    then = "bring-up: drive 1 alone, up to 15 V; still to be tried: reset"
    last = "bring-up: door, feed wire and reset failed safe; the next start drives every coil"
    heard = [first, "", first, then, "", last]
    assert command.watch(lambda: heard.pop(0), 60, lambda: 0.0) == 0
    printed = capsys.readouterr().out.splitlines()
    assert printed == [first, f"  now {command.DO['door']}", then, f"  now {command.DO['reset']}", last]
    times = iter(range(100))
    assert command.watch(lambda: then, 3, lambda: float(next(times))) == command.LEFT_EXIT
    assert "the coil supply stays unconnected" in capsys.readouterr().out


def test_the_exit_code_says_whether_something_is_left() -> None:
    assert not command.has_left([])
    assert command.has_left(["1", "0"])
    assert command.has_left(["1", "11"])
    assert not command.has_left(["1", "15"])
