"""The device's end of the link with a console that only counts."""

import hashlib

from device_rig import NONCE, Bench, ask, faulted, i32, kinds, records, u32

from firmware.base.trace import EDGE, RECORD
from firmware.link import frames
from firmware.link.machine import Machine


def test_a_machine_without_a_board_says_so():
    try:
        Machine().board()
    except NotImplementedError:
        return
    raise AssertionError("it has one")


def test_hello_is_answered_with_the_protocol_the_identity_and_the_name():
    got = Bench().hello()
    assert got == [(frames.WELCOME, bytes([1]) + hashlib.sha256(NONCE + b"beats").digest() + b"beats")]


def test_hello_is_answered_with_the_error_that_ended_the_program_before():
    bench = Bench()
    bench.machine.ended = "an error in the program: " + "x" * 300
    ((kind, payload),) = bench.hello()
    assert kind == frames.WELCOME
    name, ended = payload[1 + frames.DIGEST :].split(b"\0")
    assert name == b"beats"
    assert ended.decode() == bench.machine.ended[: frames.ENDED_MOST]


def test_an_end_of_the_program_is_told_to_a_host_in_a_session_alone():
    bench = Bench()
    bench.device.end("an error in the program")
    assert bench.got == []
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    before = len(bench.got)
    bench.device.end("the hardware has a fault: the scan stands still")
    faulted(bench, bench.got[before:], "the scan stands still")
    assert bench.machine.outputs.did[-1] == "the hardware has a fault: the scan stands still"


def test_a_machine_hears_that_it_is_alive_at_each_step_of_a_long_way():
    bench = Bench()
    bench.start()
    alive = []
    bench.machine.alive = lambda: alive.append(1)
    bench.say(frames.ADVANCE, u32(95))
    assert len(alive) == 10


def test_without_hello_nothing_is_answered():
    bench = Bench()
    assert bench.say(frames.START, b"\0", u32(1)) == []
    assert bench.put(b"\x05junk\0") == []


def test_advance_stops_after_the_record_of_a_coil():
    bench = Bench()
    assert kinds(bench.start()) == [frames.STARTED]
    got = bench.say(frames.ADVANCE, u32(1000))
    assert got[-1] == (frames.DONE, u32(100) + u32(11) + u32(0))
    assert len(records(got)) == 11 * RECORD


def test_advance_without_a_coil_reaches_its_goal():
    bench = Bench()
    bench.start()
    assert bench.say(frames.ADVANCE, u32(95))[-1] == (frames.DONE, u32(95) + u32(9) + u32(0))


def facts(what, place, numbers):
    return [(frames.FACTS, bytes([what]) + place.to_bytes(2, "little") + b"".join([i32(n) for n in numbers]))]


def test_windows_are_told_by_the_time_left_and_negative_when_they_stand_still():
    bench = Bench()
    bench.start()
    assert ask(bench, frames.WINDOWS, 0) == facts(frames.WINDOWS, 0, [0, 14000, -2500])


def test_values_come_fifty_a_frame():
    bench = Bench()
    bench.start()
    assert ask(bench, frames.VALUES, 0) == facts(frames.VALUES, 0, range(-50, 0))
    assert ask(bench, frames.VALUES, 100) == facts(frames.VALUES, 100, [50, 51])
    assert ask(bench, frames.VALUES, 102) == facts(frames.VALUES, 102, [])


def test_a_question_changes_nothing():
    bench = Bench()
    bench.start()
    plain = bench.say(frames.ADVANCE, u32(95))[-1]
    ask(bench, frames.VALUES, 0)
    assert bench.say(frames.ADVANCE, u32(95))[-1] == plain


def test_an_unknown_question_is_refused():
    bench = Bench()
    bench.start()
    faulted(bench, ask(bench, frames.FAULTS + 1, 0), "out of range")


def test_the_records_before_an_error_of_the_rules_are_sent():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, (1).to_bytes(2, "little"), b"\1")
    got = bench.say(frames.CONTACT, (7).to_bytes(2, "little"), b"\1")
    assert kinds(got) == [frames.RECORDS, frames.FAULT]
    assert len(records(got)) == RECORD


def test_a_long_way_does_not_overflow_the_ring():
    bench = Bench()
    bench.start()
    made = b""
    reached = 0
    while reached < 5000:
        got = bench.say(frames.ADVANCE, u32(5000))
        made += records(got)
        assert got[-1][0] == frames.DONE
        reached = int.from_bytes(got[-1][1][:4], "little")
    assert len(made) == (500 + 50) * RECORD
    kind, payload = bench.say(frames.FINISH)[-1]
    assert kind == frames.FINISHED
    assert payload[:32] == hashlib.sha256(made).digest()
    assert payload[36:] == hashlib.sha256(NONCE + u32(1) + payload[:32]).digest()


def test_a_contact_reaches_the_console():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\5\0\1")
    got = bench.say(frames.ADVANCE, u32(1))
    assert records(got)[4:8] == bytes([EDGE, 0, 5, 0])


def test_settings_go_with_the_next_start_only():
    bench = Bench()
    bench.hello()
    bench.say(frames.SETTING, b"\1", u32(70))
    bench.say(frames.START, b"\0", u32(1))
    assert bench.machine.given == {"volume": 70}
    bench.say(frames.FINISH)
    bench.say(frames.START, b"\0", u32(1))
    assert bench.machine.given == {}


def test_lock_step_drives_nothing():
    bench = Bench()
    bench.start()
    bench.say(frames.ADVANCE, u32(100))
    assert bench.machine.outputs.did == []
