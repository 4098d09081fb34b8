"""The board's bring-up between models of guard, door, bus and reset: the steps of the page, replayed."""

import importlib
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from board_bench import FEED, Bench

from firmware.devices import limiter_state
from firmware.devices.native.limiter import ANSWER, KEPT_OFF
from firmware.games.honey_flow import wiring
from hil.command.bring_up import told

COILS = [row[0] for row in wiring.COILS]
EJECT, KNOCKER = COILS.index("trough_eject"), COILS.index("knocker")
TOO_HIGH = "the coil bus has more than 15 V before door, feed wire and reset were tried"


class BringUpBench(Bench):
    """The bench with a bus of 12 V, a feed wire that can be taken off, and the main loop's turn."""

    def __init__(self, chip: Any, file: Path, was_reset: bool = False) -> None:
        super().__init__(chip)
        self.mains_mv = 12_000
        self.feed_wire = True
        self.said: list[str] = []
        self.line = SimpleNamespace(say=self.said.append)
        hardware = SimpleNamespace(
            cells=self.cells,
            senses=self.senses,
            supply=self.supply,
            limiter=SimpleNamespace(state=self.limits),
            template=limiter_state.build(wiring),
            kept_off=0,
            now=lambda: self.cells[self.isr.NOW],
        )
        module = importlib.import_module("boards.pico_matrix.bring_up")
        self.board = module.load(hardware, was_reset, str(file))

    def toggle(self, pins: int) -> None:
        if self.feed_wire or not pins & FEED:
            super().toggle(pins)

    def sample(self) -> None:
        super().sample()
        if self.board:
            self.board.turn(self.line, None)

    def driven(self, coil: int) -> bool:
        """Whether a pulse of this coil reaches the outputs."""
        self.run(400)
        granted = self.fire(coil, 20) == 0
        assert granted or self.limits[ANSWER] == KEPT_OFF
        self.run(5)
        seen = self.outputs
        self.run(40)
        assert seen in (0, self.drive(coil))
        assert granted == (seen != 0)
        return granted


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "bring_up"
    path.write_text("1 0")
    return path


def try_door_and_wire(bench: BringUpBench) -> None:
    bench.run(500)
    bench.shut = False
    bench.run(200)
    bench.shut = True
    bench.run(500)
    bench.feed_wire = False
    bench.run(200)
    bench.feed_wire = True
    bench.run(500)


def test_the_named_drive_alone_is_driven(chip: Any, file: Path) -> None:
    bench = BringUpBench(chip, file)
    bench.enable()
    assert bench.driven(EJECT)
    assert not bench.driven(KNOCKER)
    assert bench.said[0].endswith("drive 1 alone, up to 15 V; still to be tried: door, feed wire, reset")


def test_door_wire_and_reset_pass_and_the_start_after_that_drives_every_coil(chip: Any, file: Path) -> None:
    bench = BringUpBench(chip, file)
    bench.enable()
    try_door_and_wire(bench)
    assert bench.fault == ""
    assert told(file.read_text().split()).endswith("still to be tried: reset")
    again = BringUpBench(chip, file, was_reset=True)
    assert again.board
    again.enable()
    again.run(100)
    assert "failed safe" in again.said[-1]
    assert not again.driven(KNOCKER)
    last = BringUpBench(chip, file)
    assert last.board is None
    last.enable()
    assert last.driven(KNOCKER)


def test_a_start_that_no_reset_came_before_shows_nothing(chip: Any, file: Path) -> None:
    bench = BringUpBench(chip, file)
    bench.enable()
    try_door_and_wire(bench)
    again = BringUpBench(chip, file)
    again.enable()
    again.run(500)
    assert told(file.read_text().split()).endswith("still to be tried: reset")


def test_an_enable_line_that_stays_on_at_the_open_door_is_a_fault_and_no_pass(chip: Any, file: Path) -> None:
    bench = BringUpBench(chip, file)
    bench.enable()
    bench.run(500)
    bench.enable_stuck = True
    bench.shut = False
    bench.run(200)
    assert bench.fault == "the coil enable stays on without its feed"
    assert told(file.read_text().split()).endswith("still to be tried: door, feed wire, reset")


def test_48_volts_before_the_trials_stop_everything(chip: Any, file: Path) -> None:
    bench = BringUpBench(chip, file)
    bench.enable()
    bench.run(100)
    bench.mains_mv = 48_000
    bench.run(100)
    assert bench.fault == TOO_HIGH
    assert bench.outputs == 0
    fed = bench.feeds
    bench.run(100)
    assert bench.feeds == fed


@pytest.mark.parametrize("text", ["", "1", "one two"])
def test_a_file_that_is_not_whole_allows_no_drive(chip: Any, file: Path, text: str) -> None:
    file.write_text(text)
    bench = BringUpBench(chip, file)
    bench.enable()
    assert not bench.driven(EJECT)


def test_without_a_file_there_is_no_bring_up(chip: Any, file: Path) -> None:
    file.unlink()
    assert BringUpBench(chip, file).board is None
