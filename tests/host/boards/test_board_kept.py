"""The Pico board's store: the memory chip when there is one, else files; the coils disabled meanwhile."""

import importlib
import os
import re
from array import array
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import boards.pico_matrix
from firmware.devices.store.file_pair import FilePair
from firmware.devices.store.memory_chip import MemoryChip

I2C_HZ, I2C_US = 400_000, 5000  # as boards/pico_matrix/slow_outputs.py sets the bus; a test compares them


class Eeprom:
    """8 KB in pages of 32 bytes that wrap round; busy for 5 ms after a write. FRAM: never busy."""

    def __init__(self, there: Any, write_ms: int) -> None:
        self.cells = bytearray(b"\xff" * 8192)
        self.there = there
        self.write_ms = write_ms
        self.busy_until = 0
        self.enabled_while_writing: list[int] = []
        self.board = array("i", [1] * 32)

    def writeto(self, _address: int, _data: bytes) -> None:
        self.there.clock_ms += 1
        if self.there.clock_ms < self.busy_until:
            raise OSError("busy")

    @staticmethod
    def take_time(payload: int) -> None:
        """Nine bits a byte, address and place before them: MicroPython gives up a longer transfer."""
        if (payload + 3) * 9 * 1_000_000 // I2C_HZ > I2C_US:
            raise OSError(110)

    def readfrom_mem_into(self, _address: int, at: int, into: Any, *, addrsize: int) -> None:
        assert addrsize == 16
        self.take_time(len(into) + 1)
        into[:] = self.cells[at : at + len(into)]

    def writeto_mem(self, _address: int, at: int, data: Any, *, addrsize: int) -> None:
        assert addrsize == 16
        assert self.there.clock_ms >= self.busy_until, "written to while it is busy"
        self.take_time(len(data))
        self.enabled_while_writing.append(self.board[2])
        for i in range(len(data)):
            self.cells[at - at % 32 + (at + i) % 32] = data[i]
        self.busy_until = self.there.clock_ms + self.write_ms


class Nobody:
    def writeto(self, _address: int, _data: bytes) -> None:
        raise OSError("no answer")


def board_kept() -> Any:
    return importlib.import_module("boards.pico_matrix.persistent_store")


@pytest.mark.parametrize("write_ms", [0, 5])
def test_fram_and_eeprom_keep_what_is_saved_with_the_coils_disabled(chip: Any, write_ms: int) -> None:
    part = Eeprom(chip, write_ms)
    hardware = SimpleNamespace(slow_outputs=SimpleNamespace(i2c=part), cells=part.board)
    kept = board_kept()
    assert importlib.import_module("boards.pico_matrix.isr").ENABLED == 2
    for turn in range(5):
        store = kept.BoardStore(hardware, "some_game")
        before = store.load()
        assert before == (dict.fromkeys(range(200), turn - 1) if turn else {})
        assert store.lost == []
        store.save((key, turn) for key in range(200))
        assert part.board[2] == 1
    assert set(part.enabled_while_writing) == {0}


def test_a_board_without_a_memory_chip_uses_files(chip: Any) -> None:
    medium = importlib.import_module("boards.pico_matrix.medium")
    assert not medium.is_ready(Nobody())
    assert medium.is_ready(Eeprom(chip, 0))
    assert isinstance(medium.open_medium(Nobody(), False, "x"), FilePair)
    assert isinstance(medium.open_medium(Eeprom(chip, 0), True, "x"), MemoryChip)


def test_a_chip_that_goes_away_in_a_save_is_an_error_and_the_coils_are_enabled_again(chip: Any) -> None:
    part = Eeprom(chip, 0)
    hardware = SimpleNamespace(slow_outputs=SimpleNamespace(i2c=part), cells=part.board)
    store = board_kept().BoardStore(hardware, "some_game")
    store.load()
    part.write_ms = 10_000
    with pytest.raises(OSError, match="takes no more"):
        store.save([(1, 1)])
    assert part.board[2] == 1


def test_the_files_are_those_of_the_board(chip: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    kept = board_kept()
    monkeypatch.setattr(kept, "FILES", str(tmp_path / "kept"))
    hardware = SimpleNamespace(slow_outputs=SimpleNamespace(i2c=Nobody()), cells=array("i", [0] * 32))
    for turn in range(3):
        store = kept.BoardStore(hardware, "some_game")
        assert store.load() == ({1: turn - 1} if turn else {})
        store.save([(1, turn)])
    assert sorted(os.listdir(tmp_path)) == ["kept.a", "kept.b"]


def test_the_modelled_bus_has_the_boards_speed_and_patience() -> None:
    source = (Path(boards.pico_matrix.__path__[0]) / "slow_outputs.py").read_text(encoding="utf-8")
    assert f"I2C_HZ = {I2C_HZ:_}\n" in source
    assert re.search(rf"^I2C_US = {I2C_US}\b", source, re.MULTILINE)
