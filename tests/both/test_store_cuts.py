"""Power that is cut while values are saved: the old ones or the new ones are found."""

from store_rig import OWNER, Bus, Remove, nor

from boards.unix.nor import TORN_BYTE, PowerCut
from boards.unix.trials import store as store_trials
from firmware.devices.store import record_log
from firmware.devices.store.file_pair import FilePair
from firmware.devices.store.memory_chip import MemoryChip
from firmware.devices.store.record_log import RecordLog


def test_a_cut_save_leaves_the_old_values_and_says_so():
    medium = nor()
    store = RecordLog(medium, OWNER)
    store.load()
    store.save({1: 1})
    medium.arm(9, TORN_BYTE)
    try:
        store.save({1: 2})
        raise AssertionError("the power did not fail")
    except PowerCut:
        pass
    loaded = RecordLog(medium, OWNER).load()
    assert loaded.values == {1: 1}
    assert loaded.lost == [record_log.LOST_CUT]


class CutBus(Bus):
    """The power fails before the `left`-th byte of what is written."""

    def __init__(self):
        Bus.__init__(self)
        self.left = -1

    def writeto_mem(self, addr, memaddr, buf, *, addrsize):
        for i in range(len(buf)):
            if self.left == 0:
                raise PowerCut()
            self.left -= 1
            self.cells[memaddr + i] = buf[i]


def test_a_memory_chip_cut_at_any_byte_leaves_old_or_new_values():
    bus = CutBus()
    medium = MemoryChip(bus, size=512)
    store = RecordLog(medium, OWNER)
    store.load()
    old = {}
    for turn in range(24):
        new = {key: turn * 100 + key for key in range(9)}
        place = (store.sequence, store.sector, store.end, store.erased)
        before = bytes(bus.cells)
        cut = 0
        while True:
            bus.cells[:] = before
            store.sequence, store.sector, store.end, store.erased = place
            bus.left = cut
            try:
                store.save(new)
                break
            except PowerCut:
                pass
            bus.left = -1
            assert RecordLog(medium, OWNER).load().values in (old, new), (turn, cut)
            cut += 1
        bus.left = -1
        old = new
    assert RecordLog(medium, OWNER).load().values == old


def test_a_file_cut_at_any_byte_leaves_the_old_values_and_says_so():
    path = "/tmp/inlane_store_cut"
    files = Remove(path)
    store = RecordLog(FilePair(path, 512), OWNER)
    store.load()
    store.save({1: 1})
    store.save({1: 2})
    with open(path + ".a", "rb") as file:
        whole = file.read()
    half = len(whole) // 2
    for length in range(half, len(whole)):
        with open(path + ".a", "wb") as file:
            file.write(whole[:length])
        loaded = RecordLog(FilePair(path, 512), OWNER).load()
        assert loaded.values == {1: 1}
        assert loaded.lost == ([record_log.LOST_CUT] if length > half else [])
    files.clear()


def test_power_cuts_leave_old_or_new_values():
    tally = store_trials.run(1, 900, 11)
    assert tally.ran >= 900
    assert tally.wrong == []


def test_power_cuts_while_recovering_leave_old_or_new_values():
    tally = store_trials.run(2, 900, 12)
    assert tally.wrong == []


def test_the_naive_store_is_seen_to_lose_data():
    tally = store_trials.run(3, 900, 13)
    assert tally.failures > 100
