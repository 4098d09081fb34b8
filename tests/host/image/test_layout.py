"""Images as bytes: record, UF2 blocks, and what a board with one answers."""

import hashlib
import struct
from binascii import crc32
from dataclasses import replace
from pathlib import Path

import pytest

from boards.pico_matrix import flash, slots
from firmware.base.errors import UsageError
from hil.build import chips, layout

CODE = bytes(range(256)) * 9
ENGINE, GAME = b"e" * 32, b"g" * 32


@pytest.fixture(params=[chips.RP2040, chips.RP2350], ids=lambda chip: chip.name)
def image(request: pytest.FixtureRequest) -> layout.Image:
    return layout.make(CODE[:-100], "firmware.games.some", ENGINE, GAME, request.param)


def test_code_is_padded_to_whole_pages(image: layout.Image) -> None:
    assert len(image.code) == len(CODE)
    assert image.code[-100:] == bytes(100)


def test_the_record_tells_length_and_sum_as_a_board_reads_them(
    image: layout.Image, monkeypatch: pytest.MonkeyPatch
) -> None:
    chip = bytearray(flash.CODE)
    chip[: len(image.code)] = image.code
    chip[flash.RECORD_AT : flash.RECORD_AT + len(image.record)] = image.record
    monkeypatch.setattr(flash, "memory", lambda at, length: chip[at : at + length])
    assert bytes(flash.code()) == image.code
    assert flash.recorded_sum() == flash.found_sum() == crc32(image.code).to_bytes(4, "little")
    assert flash.identify(b"nonce", b"slot") == image.identify(b"nonce", b"slot")
    head = slots.MAGIC.ljust(slots.HEADER, b"h")
    assert flash.version(b"") == image.version()
    assert flash.version(head) == image.version(head + b"romfs") != image.version()
    chip[77] ^= 4
    assert flash.found_sum() != flash.recorded_sum()
    assert flash.identify(b"nonce", b"") != image.identify(b"nonce")


def test_a_board_without_a_record_has_no_code(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(flash, "memory", lambda at, length: bytearray(b"\xff" * length))
    assert flash.code() == bytearray()
    assert flash.recorded_sum() == b""
    assert flash.version(b"") == b""


def test_the_answer_is_a_plain_sha_256(image: layout.Image) -> None:
    assert image.identify(b"n") == hashlib.sha256(b"n" + image.code + image.record).digest()


def test_uf2_blocks_are_as_the_format_describes_them(image: layout.Image) -> None:
    """Field by field after microsoft/uf2's README (mem): magics, flags, address, size, numbers, family.

    Families: pico-sdk 2.2.0, boot/uf2.h, RP2040_FAMILY_ID and RP2350_ARM_S_FAMILY_ID (read).
    """
    family = {"rp2040": 0xE48BFF56, "rp2350": 0xE48BFF59}[image.chip.name]
    data = layout.to_uf2(image)
    count = len(CODE) // 256 + 1
    assert len(data) == 512 * count
    for number in range(count):
        block = data[512 * number : 512 * number + 512]
        head = struct.unpack_from("<8I", block)
        address = 0x10000000 + (256 * number if number < count - 1 else 1024 * 1024 - 256)
        assert head == (0x0A324655, 0x9E5D5157, 0x2000, address, 256, number, count, family)
        assert block[-4:] == struct.pack("<I", 0x0AB16F30)


def test_an_image_is_read_back_from_its_file(image: layout.Image, tmp_path: Path) -> None:
    path = tmp_path / "some.uf2"
    path.write_bytes(layout.to_uf2(image))
    assert layout.read(path) == image


@pytest.mark.parametrize("at", [0, 4, 28, 32 + 70, 512 + 40])
def test_a_damaged_file_is_refused(image: layout.Image, tmp_path: Path, at: int) -> None:
    data = bytearray(layout.to_uf2(image))
    data[at] ^= 0x10
    path = tmp_path / "some.uf2"
    path.write_bytes(data)
    with pytest.raises(UsageError, match=r"some\.uf2 is no"):
        layout.read(path)


def test_a_file_of_blocks_for_both_chips_is_refused(image: layout.Image, tmp_path: Path) -> None:
    other = chips.RP2350 if image.chip is chips.RP2040 else chips.RP2040
    data = layout.to_uf2(image)
    mixed = data[:512] + layout.to_uf2(replace(image, chip=other))[512:]
    path = tmp_path / "some.uf2"
    path.write_bytes(mixed)
    with pytest.raises(UsageError, match="no UF2 file for a Pico or a Pico 2"):
        layout.read(path)


def test_a_cut_file_is_refused(image: layout.Image, tmp_path: Path) -> None:
    data = layout.to_uf2(image)
    path = tmp_path / "some.uf2"
    for length in (0, 1, 31, 511, 512, len(data) - 512, len(data) - 1):
        path.write_bytes(data[:length])
        with pytest.raises(UsageError, match=r"some\.uf2 is no"):
            layout.read(path)


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(UsageError, match="there is room for"):
        layout.make(bytes(flash.RECORD_AT + 1), "some", ENGINE, GAME, chips.RP2040)
    with pytest.raises(UsageError, match="more than 64 letters"):
        layout.make(CODE, "x" * 65, ENGINE, GAME, chips.RP2350)
