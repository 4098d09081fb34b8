"""Two slots in flash for a game on trial: while one is in use the other is written, checked, switched to.

A slot is a header sector, then a ROMFS. The header: MAGIC, a sequence number, length and CRC-32 of the ROMFS
(u32 each, little-endian), the game's package (64 bytes, padded with zeros), SHA-256 over its sources.
It is erased before its ROMFS is written, and written after that was read back: an interrupted transfer
leaves the other slot in use, or none.
"""

import sys
from binascii import crc32

from boards.pico_matrix.flash import SECTOR, SLOT

MAGIC = b"inlane-g"
SEQUENCE_AT = 8
LENGTH_AT = 12
CRC_AT = 16
PACKAGE_AT = 20
DIGEST_AT = 84
HEADER = 116
MOUNT = "/trial"
BLOCKS = SLOT // SECTOR
PATH = "__path__"  # of a package: a list to CPython, a text to MicroPython
ROM = "VfsRom"  # of vfs: the stubs do not have it


def partition() -> "FlashPartition":
    """The flash that holds the slots: blocks of SECTOR bytes, and readable as memory."""
    import vfs  # MicroPython alone has it, and the host reads the numbers above

    found: FlashPartition = vfs.rom_ioctl(2, 0)
    return found


def used() -> int:
    """The slot in use, -1 when neither holds a whole game."""
    best, newest = -1, 0
    for slot in (0, 1):
        sequence = _sequence(slot)
        if sequence > newest and whole(slot):
            best, newest = slot, sequence
    return best


def whole(slot: int) -> bool:
    """Whether what the slot holds has the length and the sum that its header says."""
    head = _memory(slot)
    length = _u32(head, LENGTH_AT)
    return 0 < length <= SLOT - SECTOR and crc32(_content(slot)) == _u32(head, CRC_AT)


def package(slot: int) -> str:
    """The package of the game in the slot."""
    return bytes(_memory(slot)[PACKAGE_AT:DIGEST_AT]).rstrip(b"\0").decode()


def header(slot: int) -> bytes:
    """The slot's header; b"" for slot -1."""
    return bytes(_memory(slot)[:HEADER]) if slot >= 0 else b""


def contents(slot: int) -> "memoryview | bytes":
    """Header and ROMFS as memory; b"" for slot -1."""
    return _memory(slot)[: SECTOR + _u32(_memory(slot), LENGTH_AT)] if slot >= 0 else b""


def mount(slot: int) -> str:
    """Put the slot's game where imports look first; its package."""
    import vfs

    make_rom = getattr(vfs, ROM)
    vfs.mount(make_rom(_content(slot)), MOUNT)
    sys.path.insert(0, MOUNT)
    name = package(slot)
    if name.startswith("firmware.games."):
        __import__("packed_charts")  # the slot's; then `firmware` is the frozen one again
        sys.path.remove(MOUNT)
        import firmware.games

        setattr(firmware.games, PATH, MOUNT + "/firmware/games")
    return name


# Written by `inlane deploy --trial`, from the prompt ----------------------------------------


def begin() -> int:
    """The slot to write: not the one in use. Whatever it held is gone."""
    slot = 1 if used() == 0 else 0
    partition().writeblocks(slot * BLOCKS, bytes(SECTOR))
    return slot


def write(slot: int, block: int, data: "bytes | bytearray") -> None:
    """Block number `block` of the ROMFS, at most SECTOR bytes."""
    piece = bytearray(SECTOR)
    piece[: len(data)] = data
    partition().writeblocks(slot * BLOCKS + 1 + block, piece)


def finish(slot: int, length: int, crc: int, head: "bytes | bytearray") -> bool:
    """Read back what was written, and switch to it if it is right; whether it was.

    `head`: the header with package and digest, without its numbers.
    """
    content = memoryview(partition())[slot * SLOT + SECTOR : slot * SLOT + SECTOR + length]
    if crc32(content) != crc:
        return False
    sector = bytearray(SECTOR)
    sector[: len(head)] = head
    sequence = max(_sequence(0), _sequence(1)) + 1
    for at, number in ((SEQUENCE_AT, sequence), (LENGTH_AT, length), (CRC_AT, crc)):
        sector[at : at + 4] = number.to_bytes(4, "little")
    partition().writeblocks(slot * BLOCKS, sector)
    return used() == slot


def drop() -> None:
    """Erase both headers: the game of the image plays again."""
    for slot in (0, 1):
        partition().writeblocks(slot * BLOCKS, bytes(SECTOR))


def _memory(slot: int) -> memoryview:
    return memoryview(partition())[slot * SLOT : (slot + 1) * SLOT]


def _content(slot: int) -> memoryview:
    memory = _memory(slot)
    return memory[SECTOR : SECTOR + _u32(memory, LENGTH_AT)]


def _sequence(slot: int) -> int:
    """0 when the slot has no header."""
    head = _memory(slot)
    return _u32(head, SEQUENCE_AT) if bytes(head[: len(MAGIC)]) == MAGIC else 0


def _u32(memory: memoryview, at: int) -> int:
    return int.from_bytes(memory[at : at + 4], "little")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.pico_matrix.interfaces import FlashPartition
