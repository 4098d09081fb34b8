"""The store under a whole machine: off and on again, damaged, on a part that takes nothing."""

import os

from boards.unix.nor import Nor
from firmware.base.chance import Stream
from firmware.console import Console
from firmware.devices.store import record_log
from firmware.devices.store.file_pair import FilePair
from firmware.devices.store.game_store import GameStore
from firmware.devices.store.memory_chip import MemoryChip
from firmware.games.honey_flow import game

PATH = "/tmp/inlane_kept_test"


class Chip:
    """An I²C memory of 8 KB."""

    def __init__(self):
        self.cells = bytearray(b"\xff" * 8192)
        self.broken = False

    def readfrom_mem_into(self, addr, memaddr, buf, *, addrsize):
        buf[:] = self.cells[memaddr : memaddr + len(buf)]

    def writeto_mem(self, addr, memaddr, buf, *, addrsize):
        if self.broken:
            raise OSError("no answer")
        self.cells[memaddr : memaddr + len(buf)] = buf


def files():
    for end in (".a", ".b"):
        try:
            os.remove(PATH + end)
        except OSError:
            pass
    return FilePair(PATH)


def machine(medium, name="honey_flow"):
    """A machine that was just switched on, and its store."""
    store = GameStore(medium, name)
    console = Console(game, store=store)
    console.run_to(1000)
    return console, store


def busy(console, from_ms, balls):
    """The operator asks for so many balls; what was changed is saved when next something happens."""
    console.settings.set_by_name("balls", balls)
    console.settings_changed()
    console.contact(0, from_ms // 1000 & 1)
    console.run_to(from_ms + 500)


def test_a_machine_that_is_switched_off_remembers():
    for make in (files, lambda: MemoryChip(Chip())):
        medium = make()
        console, store = machine(medium)
        assert store.lost == []
        busy(console, 1000, 5)
        console.play.counts.closures[4] = 77
        console.play.faults.report("switch_stuck", 4)
        busy(console, 2000, 4)
        again, store = machine(medium)
        assert store.lost == []
        assert again.settings.get("balls").value == 4
        assert again.play.counts.closures[4] == 77
        assert again.play.faults.names == ["switch_stuck"]
        assert again.play.faults.start == 2
    files()


def test_a_damaged_save_gives_the_one_before_and_says_what_was_lost():
    chip = Chip()
    console, _ = machine(MemoryChip(chip))
    busy(console, 1000, 5)
    busy(console, 2000, 4)
    saved = GameStore(MemoryChip(chip), "honey_flow")
    saved.load()
    at = 4096 * saved._store.sector + saved._store.end
    last = max(i for i in range(8192) if chip.cells[i] != 0xFF and i // 4096 == saved._store.sector)
    assert at > last
    chip.cells[last - 20] ^= 4
    again, store = machine(MemoryChip(chip))
    assert again.settings.get("balls").value == 5
    assert store.lost == [record_log.LOST_CUT]
    assert again.play.faults.names == ["save_damaged"]


def test_everything_damaged_starts_at_the_defaults_and_says_so():
    chip = Chip()
    busy(machine(MemoryChip(chip))[0], 1000, 5)
    for i in range(0, 8192, 16):
        chip.cells[i] ^= 1
    again, store = machine(MemoryChip(chip))
    assert again.settings.get("balls").value == 3
    assert record_log.LOST_ALL in store.lost
    assert again.play.faults.names == ["save_damaged"]


def test_a_part_that_takes_nothing_is_a_fault_to_the_operator_and_play_goes_on():
    chip = Chip()
    console, _ = machine(MemoryChip(chip))
    chip.broken = True
    saves = console.persistence.saves
    busy(console, 1000, 5)
    assert console.persistence.saves == saves + 1
    assert console.play.faults.names == ["save_failed"]
    chip.broken = False
    busy(console, 2000, 5)
    assert machine(MemoryChip(chip))[0].settings.get("balls").value == 5


def test_another_games_values_are_left_out():
    chip = Chip()
    machine(MemoryChip(chip), "kit_room")
    _, store = machine(MemoryChip(chip))
    assert record_log.LOST_OWNER in store.lost


def test_no_save_but_the_first_has_to_wait_for_an_erase():
    store = GameStore(Nor(4, 512, Stream(3)), "honey_flow")
    store.load()
    for turn in range(60):
        store.save(dict.fromkeys(range(20), turn).items())
    assert store._store.erased_late == 1


def test_a_store_that_resumes_saves_behind_the_last_save():
    medium = MemoryChip(Chip())
    first = GameStore(medium, "honey_flow")
    first.load()
    first.save(((1, 1),))
    second = GameStore(medium, "honey_flow")
    second.resume(first.position())
    assert second.position() == first.position()
    second.save(((1, 2), (3, 4)))
    third = GameStore(medium, "honey_flow")
    assert third.load() == {1: 2, 3: 4}
    assert third.lost == []
    assert GameStore(medium, "another_game").load() == {}
