"""The store, the same on both Pythons: what is kept, what is refused, what is said when it is lost."""

from store_rig import OWNER, Bus, FlashDevice, Remove, keeps, nor, refused

from boards.unix.nor import Nor
from firmware.base.chance import Stream
from firmware.devices.store import file_pair, record, record_log
from firmware.devices.store.file_pair import FilePair
from firmware.devices.store.flash_blocks import FlashBlocks
from firmware.devices.store.key import key_of
from firmware.devices.store.memory_chip import MemoryChip
from firmware.devices.store.record_log import RecordLog


def test_flash_keeps():
    keeps(nor())


def test_flash_behind_a_block_device_keeps():
    keeps(FlashBlocks(FlashDevice(), 2))


def test_a_memory_chip_without_pages_keeps():
    keeps(MemoryChip(Bus()))


def test_a_memory_chip_with_pages_keeps_and_waits_for_each_write():
    waits = []
    keeps(MemoryChip(Bus(32), page=32, wait=lambda: waits.append(1)), saves=12)
    assert len(waits) > 12


def test_two_files_keep():
    path = "/tmp/inlane_store_test"
    files = Remove(path)
    keeps(FilePair(path, 256))
    files.clear()


def test_a_record_begins_with_its_mark():
    assert bytes(record.pack({1: 1}, OWNER, 1)[:2]) == b"IK"


def test_a_new_store_says_nothing_was_lost():
    loaded = RecordLog(nor(), OWNER).load()
    assert loaded.values == {}
    assert loaded.lost == []


def test_another_games_values_are_left_out_and_it_says_so():
    medium = nor()
    store = RecordLog(medium, OWNER)
    store.load()
    store.save({1: 2})
    loaded = RecordLog(medium, OWNER ^ 1).load()
    assert loaded.values == {}
    assert record_log.LOST_OWNER in loaded.lost


def test_another_versions_values_are_left_out_and_it_says_so():
    medium = nor()
    store = RecordLog(medium, OWNER)
    store.load()
    version = record.VERSION
    record.VERSION = version + 1
    store.save({1: 2})
    record.VERSION = version
    loaded = RecordLog(medium, OWNER).load()
    assert loaded.values == {}
    assert record_log.LOST_VERSION in loaded.lost


def test_damage_before_whole_records_of_the_sector_behind_is_said():
    medium = nor(3, 200)
    store = RecordLog(medium, OWNER)
    store.load()
    turn = 0
    while turn < 30 or store.sector:
        turn += 1
        store.save({1: turn})
    assert RecordLog(medium, OWNER).load().lost == []
    medium.cells[200] = 0  # the first byte of an older record, with others behind it
    loaded = RecordLog(medium, OWNER).load()
    assert loaded.values == {1: turn}
    assert loaded.lost == [record_log.LOST_CUT]


def test_files_are_synchronised_after_each_change():
    plain, synchronised = file_pair._sync, []
    file_pair._sync = lambda: synchronised.append(1)
    remove = Remove("/tmp/inlane_store_synchronised")
    try:
        files = FilePair("/tmp/inlane_store_synchronised")
        files.erase(0)
        assert len(synchronised) == 1
        files.program(0, 0, b"x")
        assert len(synchronised) == 2
    finally:
        file_pair._sync = plain
        remove.clear()


def test_everything_lost_is_said():
    medium = nor()
    store = RecordLog(medium, OWNER)
    store.load()
    store.save({1: 1})
    for i in range(len(medium.cells)):
        medium.cells[i] &= 0x55
    loaded = RecordLog(medium, OWNER).load()
    assert loaded.values == {}
    assert record_log.LOST_ALL in loaded.lost


def test_a_save_erases_nothing_when_tidied_before():
    medium = nor()
    store = RecordLog(medium, OWNER)
    store.load()
    assert store.erase_ahead()
    assert not store.erase_ahead()  # it is blank already
    for turn in range(60):
        store.save(dict.fromkeys(range(20), turn))
        store.erase_ahead()
    assert store.erased_late == 0


def test_a_medium_that_erases_quickly_is_never_erased_ahead():
    medium = nor()
    medium.slow_erase = False
    store = RecordLog(medium, OWNER)
    store.load()
    assert not store.erase_ahead()


def test_erases_are_spread_over_all_sectors():
    # A sector bears 100,000 erases (W25Q-JV data sheets, read): one save a minute to one sector
    # would wear it out in 69 days.
    medium = nor()
    erased = [0] * medium.sectors
    plain = medium.erase

    def count(sector):
        erased[sector] += 1
        plain(sector)

    medium.erase = count
    store = RecordLog(medium, OWNER)
    store.load()
    for turn in range(400):
        store.save(dict.fromkeys(range(20), turn))
        store.erase_ahead()
    assert max(erased) - min(erased) <= 1
    assert sum(erased) <= 400 // 2 + 2  # two records of 176 bytes in 512


def test_a_sector_that_takes_nothing_is_passed_over():
    medium = nor()
    plain = medium.program

    def worn(sector, offset, data):
        if sector != 1:
            plain(sector, offset, data)

    medium.program = worn
    store = RecordLog(medium, OWNER)
    store.load()
    for turn in range(30):
        assert store.save({1: turn})
        assert RecordLog(medium, OWNER).load().values == {1: turn}


def test_a_part_that_is_gone_is_a_save_refused_and_a_load_that_says_so():
    class Gone(Nor):
        def read(self, *where):
            raise OSError("no answer")

        program = erase = read

    store = RecordLog(Gone(4, 512, Stream(1)), OWNER)
    loaded = store.load()
    assert loaded.values == {}
    assert record_log.LOST_READ in loaded.lost
    assert store.save({1: 1}) is False


def test_what_can_never_be_kept_is_refused():
    store = RecordLog(nor(), OWNER)
    store.load()
    assert "does not fit" in refused(lambda: store.save({1: 1 << 30}))
    assert "does not fit" in refused(lambda: store.save({1 << 30: 1}))
    assert "need" in refused(lambda: store.save(dict.fromkeys(range(100), 0)))
    assert "needs 3 sectors" in refused(lambda: RecordLog(nor(sectors=2), OWNER))


def test_a_key_takes_no_memory_on_a_32_bit_board():
    for n in range(300):
        assert 0 <= key_of("closures.some_switch." + str(n)) < 1 << 30


def test_a_store_goes_on_where_another_object_left_off():
    medium = nor()
    store = RecordLog(medium, OWNER)
    store.load()
    store.save({1: 1})
    for n in range(2, 40):
        following = RecordLog(medium, OWNER)
        following.resume(store.position())
        assert following.save({1: n})
        following.erase_ahead()
        store = following
        assert RecordLog(medium, OWNER).load().values == {1: n}
    assert store.erased_late == 0


def test_a_file_takes_bytes_at_its_end_only():
    remove = Remove("/tmp/inlane_store_grows")
    try:
        files = FilePair("/tmp/inlane_store_grows")
        files.program(0, 0, b"ab")
        for offset in (0, 1, 3):
            try:
                files.program(0, offset, b"c")
            except OSError:
                continue
            raise AssertionError(offset)
        files.program(0, 2, b"c")
        read = bytearray(5)
        files.read(0, 1, read)
        assert bytes(read) == b"bc" + b"\xff" * 3
    finally:
        remove.clear()


def test_a_sector_that_cannot_be_erased_is_passed_over():
    medium = nor()
    plain = medium.erase

    def worn(sector):
        if sector == 1:
            raise OSError("no answer")
        plain(sector)

    medium.erase = worn
    store = RecordLog(medium, OWNER)
    store.load()
    sectors = []
    for turn in range(120):
        assert store.save({1: turn})
        sectors.append(store.sector)
    assert 1 not in sectors
    assert len([sector for sector in range(4) if sector in sectors]) == 3


def test_a_block_device_is_written_and_erased_in_its_own_blocks():
    device = FlashDevice()
    device.cells[:] = b"\xff" * len(device.cells)
    blocks = FlashBlocks(device, 2, sectors=4)
    blocks.program(3, 254, b"abcd")
    at = 5 * 4096 + 254
    assert bytes(device.cells[at : at + 4]) == b"abcd"
    assert len([cell for cell in device.cells if cell != 255]) == 4
    read = bytearray(3)
    blocks.read(3, 255, read)
    assert bytes(read) == b"bcd"
    device.cells[4096] = device.cells[6 * 4096 - 1] = 0
    blocks.erase(3)
    assert [at for at in range(len(device.cells)) if device.cells[at] != 255] == [4096]


def test_a_memory_chip_is_asked_for_no_more_than_its_bus_bears_at_once():
    class Lengths(Bus):
        read = ()
        written = ()

        def readfrom_mem_into(self, addr, memaddr, buf, *, addrsize):
            self.read += (len(buf),)
            super().readfrom_mem_into(addr, memaddr, buf, addrsize=addrsize)

        def writeto_mem(self, addr, memaddr, buf, *, addrsize):
            self.written += (len(buf),)
            super().writeto_mem(addr, memaddr, buf, addrsize=addrsize)

    bus = Lengths()
    chip = MemoryChip(bus)
    data = bytes(range(256)) + b"more"
    chip.program(1, 10, data)
    assert bus.written == (32,) * 8 + (4,)
    read = bytearray(300)
    chip.read(1, 0, read)
    assert bus.read == (128, 128, 44)
    assert bytes(read[10:270]) == data
    chip.erase(1)
    assert bytes(bus.cells[4096:]) == b"\xff" * 4096
    assert set(bus.cells[:4096]) == {0}
