"""An image as bytes: code and record in one file, as UF2 blocks, and what a board with it answers.

UF2 is the format that the chip's boot loader takes (BOOTSEL): blocks of 512 bytes with 256 of flash each,
see "USB Flashing Format (UF2)", microsoft/uf2 on GitHub; the family number is that of the chip.
"""

import hashlib
import struct
from binascii import crc32
from dataclasses import dataclass
from pathlib import Path

from boards.pico_matrix import flash, slots
from firmware.base.errors import UsageError
from hil.build.chips import Chip, of_family

FIRST, SECOND, LAST = 0x0A324655, 0x9E5D5157, 0x0AB16F30
FAMILY_FLAG = 0x2000
FAMILY_AT = 28  # in a block
BLOCK = 512
PACKAGE_SIZE = flash.ENGINE_AT - flash.PACKAGE_AT


@dataclass(frozen=True)
class Image:
    """Code and record as they lie in flash.

    `package`: of the game that is frozen in. `engine`: SHA-256 over the sources of firmware and board;
    `game`: over those of the game. `chip`: that it is for.
    """

    code: bytes
    package: str
    engine: bytes
    game: bytes
    chip: Chip

    @property
    def record(self) -> bytes:
        """The record that a board checks the code by; see boards.pico_matrix.flash."""
        head = flash.MAGIC + struct.pack("<II", len(self.code), crc32(self.code))
        return head + self.package.encode().ljust(PACKAGE_SIZE, b"\0") + self.engine + self.game

    def identify(self, nonce: bytes, slot: bytes = b"") -> bytes:
        """What a board with this image, and with `slot` as the game slot in use, answers to `nonce`."""
        return hashlib.sha256(nonce + self.code + self.record + slot).digest()

    def version(self, slot: bytes = b"") -> bytes:
        """SHA-256 that a board with this image, and with `slot` in use, shows its operator a part of."""
        return hashlib.sha256(self.record + slot[: slots.HEADER]).digest()

    @property
    def sum(self) -> str:
        """SHA-256 of code and record, in hex."""
        return self.identify(b"").hex()


def make(binary: bytes, package: str, engine: bytes, game: bytes, chip: Chip) -> Image:
    """The image of a linked program. Raises UsageError when it does not fit."""
    code = binary + bytes(-len(binary) % flash.PAGE)
    if len(code) > flash.RECORD_AT:
        raise UsageError(f"the image takes {len(code):,} B of flash; there is room for {flash.RECORD_AT:,}")
    if len(package.encode()) > PACKAGE_SIZE:
        raise UsageError(f"the game's package '{package}' has more than {PACKAGE_SIZE} letters")
    return Image(code, package, engine, game, chip)


def to_uf2(image: Image) -> bytes:
    """The image as a UF2 file."""
    record = image.record.ljust(flash.PAGE, b"\xff")
    pages = [(at, image.code[at : at + flash.PAGE]) for at in range(0, len(image.code), flash.PAGE)]
    pages.append((flash.RECORD_AT, record))
    family = image.chip.family
    return b"".join(_block(i, len(pages), at, page, family) for i, (at, page) in enumerate(pages))


def _block(number: int, count: int, at: int, page: bytes, family: int) -> bytes:
    head = struct.pack("<8I", FIRST, SECOND, FAMILY_FLAG, flash.XIP + at, flash.PAGE, number, count, family)
    return (head + page).ljust(BLOCK - 4, b"\0") + struct.pack("<I", LAST)


def read(path: Path) -> Image:
    """The image in a UF2 file that `inlane image` wrote. Raises UsageError for anything else."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror}") from None
    if len(data) % BLOCK:
        raise UsageError(f"{path} is no whole UF2 file")
    content = bytearray(flash.CODE)
    chip = of_family(struct.unpack_from("<I", data, FAMILY_AT)[0]) if data else None
    for at in range(0, len(data), BLOCK):
        first, second, _flags, address, size, _n, _count, family = struct.unpack_from("<8I", data, at)
        place = address - flash.XIP
        known = chip and (first, second, family, size) == (FIRST, SECOND, chip.family, flash.PAGE)
        if not known or not 0 <= place <= flash.CODE - size:
            raise UsageError(f"{path} is no UF2 file for a Pico or a Pico 2")
        content[place : place + size] = data[at + 32 : at + 32 + size]
    return _parse(bytes(content), chip, path)


def _parse(content: bytes, chip: Chip | None, path: Path) -> Image:
    record = content[flash.RECORD_AT :]
    length, crc = struct.unpack_from("<II", record, flash.LENGTH_AT)
    code = content[:length]
    whole = record[: len(flash.MAGIC)] == flash.MAGIC and length <= flash.RECORD_AT and crc32(code) == crc
    if not chip or not whole:
        raise UsageError(f"{path} is no image that 'inlane image' wrote, or it is damaged")
    package = record[flash.PACKAGE_AT : flash.ENGINE_AT].rstrip(b"\0").decode()
    engine, game = record[flash.ENGINE_AT : flash.GAME_AT], record[flash.GAME_AT : flash.RECORD_END]
    return Image(code, package, engine, game, chip)
