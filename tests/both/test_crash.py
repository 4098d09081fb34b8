"""What is kept of an error that ended a program: written, read, damaged; the events before it."""

import struct

from firmware.base import crash
from firmware.base.chance import Stream
from firmware.base.crc import Crc
from firmware.base.ring import BOX_EVENTS
from firmware.base.trace import COIL, EDGE, EVENT, LAMP, Trace
from firmware.play.faults import CAPACITY, Faults

try:
    from micropython import heap_lock, heap_unlock
except ImportError:
    heap_lock = heap_unlock = int

SENTENCE = "an error in the program: ValueError: told to, at x.py:12 in pay"


def memory(seed=1):
    """As it is after power-up: anything."""
    chance = Stream(seed, 1)
    return bytearray([chance.below(256) for _ in range(crash.SIZE)])


def recorded(events=0, faults=()):
    """Memory with an error in it, after so many events."""
    made = memory()
    crash.clear(made)
    trace = Trace(8)
    trace.note_in(crash.box(made))
    for n in range(events):
        trace.now = 100 * n
        trace.note(EVENT if n % 2 else EDGE, n, -n)
        trace.add(LAMP, 1, 1)
    crash.write(made, crash.PROGRAM, SENTENCE, list(faults))
    return made


def test_memory_that_holds_anything_holds_no_record():
    for seed in range(20):
        assert crash.read(memory(seed)) is None
    assert crash.read(b"") is None
    assert crash.read(bytes(crash.SIZE)) is None


def test_a_record_is_read_as_it_was_written():
    faults = [("rule_error", 0, 3), ("switch_stuck", 17, 1), ("coil_open", -2, 70_000)]
    found = crash.read(recorded(3, faults))
    assert (found.kind, found.sentence) == (crash.PROGRAM, SENTENCE)
    assert found.faults == [("rule_error", 0, 3), ("switch_stuck", 17, 1), ("coil_open", -2, 65_535)]
    assert found.count() == 3
    assert [found.event(i) for i in range(3)] == [
        (200, EDGE, 2, -2),
        (100, EVENT, 1, -1),
        (0, EDGE, 0, 0),
    ]


def test_of_many_events_the_last_are_kept_and_of_long_words_the_beginning():
    found = crash.read(recorded(BOX_EVENTS + 5))
    assert found.count() == BOX_EVENTS
    assert [found.event(i)[2] for i in range(BOX_EVENTS)] == list(range(BOX_EVENTS + 4, 4, -1))
    made = memory()
    many = [("a_fault_with_a_long_name", n, 1) for n in range(CAPACITY)]
    crash.write(made, crash.DEPTH, "x" * 1000, many)
    found = crash.read(made)
    assert found.sentence == "x" * crash.WORDS_MOST
    assert found.faults == many[: crash.FAULTS_MOST]


def test_a_watchdog_s_bite_finds_the_events_that_nobody_had_time_to_record():
    made = memory()
    trace = Trace(8)
    crash.clear_box(made)
    trace.note_in(crash.box(made))
    trace.note(EDGE, 7, 1)
    assert crash.read(made) is None
    crash.write(made, crash.STOOD_STILL, crash.KINDS[crash.STOOD_STILL], [])
    assert crash.read(made).event(0) == (0, EDGE, 7, 1)


def test_a_box_that_makes_no_sense_is_left_empty():
    for seed in range(10):
        made = memory(seed)
        made[crash.BOX] = BOX_EVENTS
        crash.write(made, crash.PROGRAM, SENTENCE, [])
        assert crash.read(made).count() == 0


def test_a_damaged_record_is_none():
    made = recorded(40, [("rule_error", 0, 3)])
    used = crash.START + (made[crash.LENGTH_AT] | made[crash.LENGTH_AT + 1] << 8)
    for at in range(used):
        for bit in range(0, 8, 3):
            made[at] ^= 1 << bit
            assert crash.read(made) is None, (at, bit)
            made[at] ^= 1 << bit
    for length in range(0, crash.SIZE, 31):
        assert crash.read(made[:length]) is None
    assert crash.read(made)


def test_a_record_ends_where_the_board_s_own_bytes_begin():
    made = recorded(4)
    own = crash.SIZE - 4
    for length, whole in ((own - crash.START, True), (own - crash.START + 1, False)):
        crc = Crc()
        covered = made[crash.START : crash.START + length] + made[crash.BOX : crash.MAGIC_AT]
        crc.over(bytes(covered), 0, len(covered))
        struct.pack_into("<HHH", made, crash.LENGTH_AT, length, crc.lo, crc.hi)
        assert (crash.read(made) is not None) == whole, length


def test_what_was_cleared_is_gone():
    made = recorded(4)
    crash.clear(made)
    assert crash.read(made) is None
    assert made[crash.BOX + 1] == 0


def test_the_box_costs_no_memory_and_takes_edges_and_events_alone():
    made = memory()
    crash.clear(made)
    trace = Trace(8)
    trace.note_in(crash.box(made))
    heap_lock()
    try:
        for n in range(100):
            trace.note(EDGE, n, 1)
            trace.add(COIL, n, 1)
    finally:
        heap_unlock()
    plain = Trace(8)
    for n in range(100):
        plain.note(EDGE, n, 1)
        plain.add(COIL, n, 1)
    assert trace.digest() == plain.digest()
    crash.write(made, crash.PROGRAM, SENTENCE, [])
    assert {crash.read(made).event(i)[1] for i in range(BOX_EVENTS)} == {EDGE}


def test_a_traceback_of_either_python_is_one_line():
    micro = (
        "Traceback (most recent call last):\n"
        '  File "main.py", line 3, in turn\n'
        '  File "games/x.py", line 12, in pay\n'
        "ValueError: told to\n"
    )
    c = (
        "Traceback (most recent call last):\n"
        '  File "/a/games/x.py", line 12, in pay\n'
        "    raise ValueError(1)\n"
        "    ^^^^^^^^^^^^\n"
        "ValueError: told to\n"
    )
    assert crash.place(micro) == "ValueError: told to, at games/x.py:12 in pay"
    assert crash.place(c) == "ValueError: told to, at /a/games/x.py:12 in pay"
    assert crash.place("MemoryError: \n") == "MemoryError:"


def deep():
    deep()


def test_what_ended_it_has_a_kind():
    try:
        deep()
    except RuntimeError as error:
        assert crash.kind_of(error) == crash.DEPTH
    assert crash.kind_of(RuntimeError("pystack exhausted")) == crash.DEPTH
    assert crash.kind_of(MemoryError()) == crash.MEMORY
    assert crash.kind_of(RuntimeError("no")) == crash.PROGRAM
    assert crash.KINDS[crash.STARTS] == "the program started three times within a minute"


def test_faults_that_the_store_does_not_have_are_known_with_how_often():
    faults = Faults(Trace())
    faults.report("rule_error", 0, 3)
    faults.report("wheel_mute")
    faults.mark_saved()
    faults.report("rule_error", 0, 2)
    faults.report("coin_jam", 4)
    assert faults.unsaved() == [("rule_error", 0, 2), ("coin_jam", 4, 1)]
    faults.mark_saved()
    for n in range(CAPACITY):
        faults.report("eject_failed", n)
    assert len(faults.unsaved()) == CAPACITY
