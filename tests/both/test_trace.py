"""The trace: what is hashed, what the ring keeps."""

import hashlib
import struct

from firmware.base.trace import AWARD, EDGE, FORMAT, RECORD, Trace


def test_the_hash_is_that_of_the_records_in_order():
    trace = Trace(4)
    data = b""
    for i in range(10):
        trace.now = i * 5
        trace.add(EDGE, i, 1)
        data += struct.pack(FORMAT, i * 5, EDGE, i, 1)
    assert trace.digest() == hashlib.sha256(data).digest()
    assert trace.digest() == hashlib.sha256(data).digest()


def test_what_the_ring_overwrote_is_counted():
    trace = Trace(4)
    for i in range(6):
        trace.add(AWARD, i, -i)
    assert trace.lost == 2
    out = bytearray(4 * RECORD)
    assert trace.take(out, 0, 99) == 4
    assert [struct.unpack_from(FORMAT, out, i * RECORD)[2:] for i in range(4)] == [
        (2, -2),
        (3, -3),
        (4, -4),
        (5, -5),
    ]
    assert trace.held() == 0


def test_records_are_taken_in_portions():
    trace = Trace(8)
    for i in range(5):
        trace.add(EDGE, i, 0)
    out = bytearray(3 * RECORD)
    assert trace.take(out, 0, 3) == 3
    assert trace.held() == 2
    assert trace.take(out, RECORD, 3) == 2
    assert struct.unpack_from(FORMAT, out, RECORD)[2] == 3


def test_the_digest_is_the_same_when_it_is_asked_for_again():
    trace = Trace()
    trace.add(AWARD, 1, 2)
    first = trace.digest()
    assert len(first) == 32
    assert trace.digest() == first
