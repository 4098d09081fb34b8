"""Media that values are kept on; not a test itself."""

import os

from boards.unix.nor import Nor
from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.devices.store import record
from firmware.devices.store.record_log import RecordLog

OWNER = record.owner_of("some_game")


def nor(sectors=4, room=512):
    return Nor(sectors, room, Stream(3))


def refused(what):
    try:
        what()
    except GameError as error:
        return str(error)
    return ""


class Bus:
    """An I²C memory: 8 KB, pages of 32 bytes that wrap round as an EEPROM's do."""

    def __init__(self, page=0):
        self.cells = bytearray(8192)
        self.page = page

    def readfrom_mem_into(self, addr, memaddr, buf, *, addrsize):
        assert (addr, addrsize) == (0x50, 16)
        buf[:] = self.cells[memaddr : memaddr + len(buf)]

    def writeto_mem(self, addr, memaddr, buf, *, addrsize):
        for i in range(len(buf)):
            at = memaddr + i
            if self.page:
                at = memaddr - memaddr % self.page + at % self.page
            self.cells[at] = buf[i]


class FlashDevice:
    """A block device as rp2.Flash is one: whole pages of 256 bytes, bits only fall."""

    def __init__(self):
        self.cells = bytearray(6 * 4096)

    def readblocks(self, block, buf, offset):
        at = block * 4096 + offset
        buf[:] = self.cells[at : at + len(buf)]

    def writeblocks(self, block, buf, offset):
        assert offset % 256 == 0
        assert len(buf) == 256
        for i in range(256):
            self.cells[block * 4096 + offset + i] &= buf[i]

    def ioctl(self, op, arg):
        assert op == 6
        self.cells[arg * 4096 : arg * 4096 + 4096] = b"\xff" * 4096


class Remove:
    """Takes a store's files away again."""

    def __init__(self, path):
        self.path = path
        self.clear()

    def clear(self):
        for end in (".a", ".b"):
            try:
                os.remove(self.path + end)
            except OSError:
                pass


def keeps(medium, saves=40):
    """What every part must do: a new store is empty, the last save is what a start finds."""
    store = RecordLog(medium, OWNER)
    first = store.load()
    assert first.values == {}
    for turn in range(saves):
        if turn % 9 == 0:
            store = RecordLog(medium, OWNER)
            store.load()
        values = {1: turn, 2: -turn, 65535: (1 << 30) - 1, 300: -(1 << 30)}
        assert store.save(values)
        store.erase_ahead()
        again = RecordLog(medium, OWNER).load()
        assert again.values == values, turn
        assert again.lost == []
