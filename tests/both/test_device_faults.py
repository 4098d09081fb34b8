"""What ends a device's session, and how it says so."""

from device_rig import Bench, faulted, kinds, u32

from firmware.link import frames


def test_a_damaged_frame_ends_the_session():
    bench = Bench()
    bench.start()
    wire = bench.wire(frames.ADVANCE, u32(10))
    wire[3] ^= 16
    faulted(bench, bench.put(wire), "damaged")


def test_a_missing_frame_ends_the_session():
    bench = Bench()
    bench.start()
    bench.wire(frames.CONTACT, b"\5\0\1")
    faulted(bench, bench.say(frames.ADVANCE, u32(10)), "missing")


def test_a_frame_out_of_place_ends_the_session():
    bench = Bench()
    bench.hello()
    faulted(bench, bench.say(frames.ADVANCE, u32(10)), "type 5")


def test_a_switch_that_is_not_wired_ends_the_session():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.CONTACT, b"\x08\0\1"), "8 in a frame of type 4")


def test_a_time_that_is_over_ends_the_session():
    bench = Bench()
    bench.start()
    bench.say(frames.ADVANCE, u32(50))
    faulted(bench, bench.say(frames.ADVANCE, u32(49)), "49 in a frame of type 5")


def test_rules_that_break_end_the_session_with_their_words():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.CONTACT, b"\7\0\1"), "ValueError: switch 7 breaks")


def test_what_else_went_wrong_is_named_with_the_exception_that_ended_the_session():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.CONTACT, b"\6\0\1"), "twice; also: rule_error, events_dropped")


def test_records_that_the_ring_lost_end_the_session_and_are_named():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\5\0\0")
    faulted(bench, bench.say(frames.ADVANCE, u32(1))[-1:], "the trace lost 5 records; also: records_lost")


def test_what_the_charts_lost_goes_with_each_answer():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\5\0\1")
    assert bench.say(frames.ADVANCE, u32(1))[-1][1][8:] == u32(0)
    bench.device._console.play.dropped = 3
    assert bench.say(frames.ADVANCE, u32(2))[-1][1][8:] == u32(3)


def test_after_a_fault_a_new_session_begins():
    bench = Bench()
    bench.start()
    bench.say(frames.CONTACT, b"\7\0\1")
    assert kinds(bench.start()) == [frames.STARTED]
    assert kinds(bench.say(frames.ADVANCE, u32(1))) == [frames.DONE]
