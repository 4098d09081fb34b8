"""Times to the millisecond and limits to the piece, as pages, sheets and docstrings give them."""

import struct
from binascii import crc32

from game_rig import Played
from rule_sheets import table_of
from store_rig import Bus, FlashDevice
from test_coils import Rig, Wiring
from test_scoreboard import displays, kite

from firmware.base.errors import GameError
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.limiter_state import BUDGETS
from firmware.devices.native import limiter as c
from firmware.devices.store import record
from firmware.devices.store.file_pair import FilePair
from firmware.devices.store.flash_blocks import FlashBlocks
from firmware.devices.store.key import key_of
from firmware.devices.store.memory_chip import MemoryChip
from firmware.devices.switches import CLASSES
from firmware.games.honey_flow import game
from firmware.play import counts
from firmware.play.requests import CoilQueue

PAGE = "firmware/devices/README.md"
QUIET = {"ball_save": 0, "plunge_after": 0, "match": 0, "replay_1": 0, "replay_2": 0}


def numbers(rows):
    return tuple([(row[0], int(row[1].replace(",", "")), int(row[2])) for row in rows])


def test_classes_of_switches_and_coils_have_the_figures_of_their_page():
    assert numbers(table_of(PAGE, "switch class")) == CLASSES
    assert numbers(table_of(PAGE, "coil class")) == BUDGETS


def ms_until(machine, asked, most=70_000):
    """How long it takes until `asked()`; the machine goes on by single milliseconds."""
    ms = 0
    while not asked():
        assert ms < most
        machine.wait(1)
        ms += 1
    return ms


def in_play():
    return Played(game, QUIET).home().start().launch("meadow.1")


def test_news_of_an_award_stand_for_two_seconds():
    machine = in_play()
    machine.tap("bee.1", "bee.2")
    machine.contact("bee.3", 1)
    begun = ms_until(machine, lambda: machine.line(0).strip() == "BEE LANES")
    assert begun < 10
    assert ms_until(machine, lambda: machine.line(0).strip() != "BEE LANES") == 2000


def test_a_warning_stands_for_two_seconds():
    machine = in_play()
    machine.contact("tilt", 1)
    ms_until(machine, lambda: machine.line(0).strip() == "CAREFUL")
    machine.contact("tilt", 0)
    assert ms_until(machine, lambda: machine.line(0).strip() != "CAREFUL") == 2000


def test_pages_of_the_attract_take_turns_every_four_seconds():
    machine = Played(game).home()
    ms_until(machine, lambda: machine.line(0)[0] == "1")
    for place in ("2", "3", "4"):
        assert ms_until(machine, lambda place=place: machine.line(0)[0] == place) == 4000


def test_last_and_best_scores_of_kite_day_take_turns_every_four_seconds():
    machine = kite(1, free_play=1)
    machine.play.ball = 3
    machine.contact("outhole", 1)
    ms_until(machine, lambda: displays(machine)[0] == " 150000")
    for shown in ("    100", " 150000", "    100"):
        assert ms_until(machine, lambda shown=shown: displays(machine)[0] == shown) == 4000


def test_held_buttons_put_a_search_off_to_sixty_seconds():
    for button in ("button.left", "button.right"):
        machine = in_play()
        heard = machine.play.heard_at
        machine.contact(button, 1)
        searches = machine.play.find("ball_search")
        ms_until(machine, lambda searches=searches: searches.is_in("searching"), 90_000)
        assert 60_000 <= machine.console.now - heard <= 60_250


def test_a_queued_coil_asks_again_after_its_times():
    rig = Rig()
    rig.coils.limiter.volts_low = True
    rig.coils.request(1, 30)
    rig.to(99)
    rig.coils.limiter.volts_low = False
    rig.to(1000)
    assert [(row[0], row[2]) for row in rig.records()] == [(100, 1)]

    class Supplied(Wiring):
        HEAT = (("kick", 9000, 4000, 50), ("eject", 9000, 4000, 50))
        SUPPLY_MA = 10_000

    rig = Rig()
    rig.coils.limiter = CoilLimiter(Supplied)
    assert rig.coils.fire(0, 30)
    rig.coils.request(1, 30)
    rig.to(1000)
    assert [(row[0], row[2]) for row in rig.records()] == [(0, 0), (40, 1)]


def test_a_lease_is_renewed_after_a_hundred_milliseconds_and_at_once_when_rules_disarm():
    rig = Rig()
    for ms, due in ((99, False), (100, True)):
        rig.to(ms)
        assert rig.reflexes.is_renewal_due() == due
    rig.reflexes.renew()
    rig.to(199)
    assert not rig.reflexes.is_renewal_due()
    rig.play.armed = False
    assert rig.reflexes.is_renewal_due()
    assert rig.coils.limiter.state[c.ARMED] == 1


def test_stores_have_the_sizes_that_their_parts_have():
    flash = FlashBlocks(FlashDevice(), 2)
    assert (flash.sectors, flash.sector_size, flash.slow_erase, len(flash._page)) == (4, 4096, True, 256)
    chip = MemoryChip(Bus())
    assert (chip.sectors * chip.sector_size, chip.slow_erase, chip.checks_erase) == (8192, False, False)
    files = FilePair("/tmp/inlane_not_there")
    assert (files.sectors, files.sector_size, files.slow_erase, files.checks_erase) == (2, 4096, False, True)


def test_a_record_has_the_bytes_that_its_description_gives():
    data = record.pack({7: -2, 3: (1 << 30) - 1}, 0xABCD, 0x1234567)
    head = struct.pack("<HBBHHI", 0x4B49, 2, 0, 0xABCD, 2, 0x1234567)
    body = head + struct.pack("<IiIi", 3, (1 << 30) - 1, 7, -2)
    assert bytes(data) == body + struct.pack("<I", crc32(body) & 0xFFFFFFFF)
    assert record.size(2) == len(data) == 32


def test_keys_are_the_low_thirty_bits_of_the_checksum():
    for name in ("value.high_scores.score_1", "setting.balls", "a"):
        assert key_of(name) == crc32(name.encode()) & 0x3FFFFFFF
    for key, fits in ((0, True), ((1 << 30) - 1, True), (-1, False), (1 << 30, False)):
        try:
            record.pack({key: 0}, 1, 1)
        except GameError:
            assert not fits, key
        else:
            assert fits, key


def test_scores_are_counted_between_seven_steps():
    assert counts.SCORE_STEPS == (100_000, 250_000, 500_000, 1_000_000, 2_500_000, 5_000_000, 10_000_000)
    names = {counts.NAMES[i]: i for i in range(len(counts.NAMES))}
    for name in counts.NAMES:
        assert getattr(counts, name.upper()) == names[name]


def test_sixteen_requests_wait_and_the_seventeenth_is_lost():
    queue = CoilQueue(("one",), (20,))
    handle = queue.coil("one")
    for _ in range(16):
        handle.pulse()
    assert (queue.count, queue.lost) == (16, 0)
    handle.hold()
    assert (queue.count, queue.lost) == (16, 1)
