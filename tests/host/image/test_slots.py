"""Two slots for trial games on a model of the flash: cut off at any write, a whole game or none is in use."""

import importlib
import sys
from binascii import crc32
from pathlib import Path
from types import SimpleNamespace

import pytest

from boards.pico_matrix import slots
from boards.pico_matrix.flash import SECTOR, SLOT


class PowerCut(Exception):
    """The supply went away in the middle of a write."""


class Flash(bytearray):
    """Both slots; after `lasts` writes the next one is cut half way, with the sector erased."""

    lasts = 1 << 30

    def writeblocks(self, block: int, data: bytes) -> None:
        assert len(data) == SECTOR
        self.lasts -= 1
        if self.lasts < 0:
            self[block * SECTOR : (block + 1) * SECTOR] = data[: SECTOR // 2] + b"\xff" * (SECTOR // 2)
            raise PowerCut
        self[block * SECTOR : (block + 1) * SECTOR] = data


@pytest.fixture
def chip(monkeypatch: pytest.MonkeyPatch) -> Flash:
    made = Flash(b"\xff" * (2 * SLOT))
    monkeypatch.setitem(sys.modules, "vfs", SimpleNamespace(rom_ioctl=lambda _what, _which: made))
    return made


def head(name: str) -> bytes:
    space = bytes(slots.PACKAGE_AT - len(slots.MAGIC))
    return slots.MAGIC + space + name.encode().ljust(64, b"\0") + b"d" * 32


def send(content: bytes, name: str) -> bool:
    slot = slots.begin()
    for number in range(0, len(content), SECTOR):
        slots.write(slot, number // SECTOR, content[number : number + SECTOR])
    return slots.finish(slot, len(content), crc32(content), head(name))


FIRST = bytes(range(251)) * 40
SECOND = bytes(range(1, 250)) * 55


def test_an_empty_board_has_none(chip: Flash) -> None:
    assert slots.used() == -1
    assert bytes(slots.contents(-1)) == b""
    assert slots.header(-1) == b""


def test_what_was_sent_is_in_use_and_the_next_goes_beside_it(chip: Flash) -> None:
    assert send(FIRST, "one")
    assert (slots.used(), slots.package(0)) == (0, "one")
    assert bytes(slots.contents(0))[SECTOR:] == FIRST
    assert slots.header(0) == bytes(slots.contents(0))[: slots.HEADER]
    assert send(SECOND, "two")
    assert (slots.used(), slots.package(1)) == (1, "two")
    assert slots.whole(0)
    assert send(FIRST, "three")
    assert (slots.used(), slots.package(0)) == (0, "three")


def test_cut_at_every_write_the_game_before_stays(chip: Flash) -> None:
    assert send(FIRST, "one")
    before = bytes(chip)
    writes = 2 + (len(SECOND) + SECTOR - 1) // SECTOR
    for lasts in range(writes):
        chip[:] = before
        chip.lasts = lasts
        with pytest.raises(PowerCut):
            send(SECOND, "two")
        chip.lasts = 1 << 30
        assert (slots.used(), slots.package(slots.used())) in ((0, "one"), (1, "two"))
        if lasts < writes - 1:
            assert slots.used() == 0
        assert send(SECOND, "again")


def test_what_was_read_back_wrong_is_not_switched_to(chip: Flash) -> None:
    assert send(FIRST, "one")
    slot = slots.begin()
    slots.write(slot, 0, SECOND[:SECTOR])
    assert not slots.finish(slot, SECTOR, crc32(SECOND[:SECTOR]) ^ 1, head("two"))
    assert slots.used() == 0


def test_a_flipped_bit_takes_a_game_out_of_use(chip: Flash) -> None:
    assert send(FIRST, "one")
    for at in (SECTOR, SECTOR + len(FIRST) - 1, slots.CRC_AT, slots.LENGTH_AT + 3):
        chip[at] ^= 1
        assert slots.used() == -1, at
        chip[at] ^= 1
    assert slots.used() == 0


def test_dropping_leaves_none(chip: Flash) -> None:
    assert send(FIRST, "one")
    assert send(SECOND, "two")
    slots.drop()
    assert slots.used() == -1


def test_a_built_in_game_on_trial_is_imported_from_its_slot(
    chip: Flash, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert send(FIRST, "firmware.games.some_trial")
    (tmp_path / "packed_charts.py").write_text("OF = 'the slot'\n")
    (tmp_path / "firmware/games/some_trial").mkdir(parents=True)
    vfs = sys.modules["vfs"]
    monkeypatch.setattr(vfs, "VfsRom", bytes, raising=False)
    monkeypatch.setattr(vfs, "mount", lambda _fs, _at: None, raising=False)
    monkeypatch.setattr(slots, "MOUNT", str(tmp_path))
    monkeypatch.setattr(sys, "path", list(sys.path))
    games = importlib.import_module("firmware.games")
    monkeypatch.setattr(games, "__path__", games.__path__)
    assert slots.mount(0) == "firmware.games.some_trial"
    assert sys.modules.pop("packed_charts").OF == "the slot"
    assert str(tmp_path) not in sys.path
    assert games.__path__ == f"{tmp_path}/firmware/games"


def test_a_game_of_its_own_on_trial_is_found_before_the_images(
    chip: Flash, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert send(FIRST, "my_game")
    vfs = sys.modules["vfs"]
    monkeypatch.setattr(vfs, "VfsRom", bytes, raising=False)
    monkeypatch.setattr(vfs, "mount", lambda _fs, _at: None, raising=False)
    monkeypatch.setattr(sys, "path", [".frozen"])
    assert slots.mount(0) == "my_game"
    assert sys.path == [slots.MOUNT, ".frozen"]
