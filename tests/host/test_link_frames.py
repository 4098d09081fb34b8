"""The two codecs of the link against PyPI `cobs` and `crc`, and against each other."""

import zlib

import pytest
from cobs import cobs as oracle
from cobs_examples import COBS_EXAMPLES, COBS_REFUSED, restored, stuffed
from crc import Calculator, Crc32
from hypothesis import given
from hypothesis import strategies as st

from firmware.base.crc import Crc
from firmware.link import cobs, frames
from firmware.link.frames import Receiver, Sender
from hil.bench.targets import wire

payloads = st.binary(max_size=24)
zeros = st.lists(st.integers(0, 3), max_size=700).map(bytes)


@pytest.mark.parametrize(("data", "encoded"), COBS_EXAMPLES)
def test_the_host_gives_the_published_examples(data, encoded):
    assert wire.cobs_encode(data) == encoded
    assert wire.cobs_decode(encoded) == data


@pytest.mark.parametrize("chunk", COBS_REFUSED)
def test_the_host_refuses_what_is_no_stuffed_data(chunk):
    with pytest.raises(wire.DamagedFrame):
        wire.cobs_decode(chunk)


@given(st.binary(max_size=700) | zeros)
def test_the_host_stuffs_as_the_oracle_does(data):
    assert wire.cobs_encode(data) == oracle.encode(data)
    assert wire.cobs_decode(oracle.encode(data)) == data


@given(st.binary(max_size=cobs.BLOCK) | zeros.map(lambda data: data[: cobs.BLOCK]))
def test_the_firmware_stuffs_as_the_oracle_does(data):
    assert stuffed(data) == oracle.encode(data)
    assert restored(oracle.encode(data)) == data


@given(st.binary(min_size=1, max_size=300))
def test_whatever_bytes_come_all_three_agree(chunk):
    try:
        expected = oracle.decode(chunk)
    except oracle.DecodeError:
        expected = None
    assert restored(chunk) == expected
    if expected is None:
        with pytest.raises(wire.DamagedFrame):
            wire.cobs_decode(chunk)
    else:
        assert wire.cobs_decode(chunk) == expected


@given(st.binary(max_size=300))
def test_the_checksum_is_that_of_the_oracles(data):
    crc = Crc()
    crc.over(data, 0, len(data))
    value = crc.hi << 16 | crc.lo
    assert value == Calculator(Crc32.CRC32).checksum(data) == zlib.crc32(data)


def test_the_checksum_of_123456789_is_cbf43926():
    # CRC-32/ISO-HDLC, catalogue of parametrised CRC algorithms, G. Cook (ran with PyPI `crc` 8)
    crc = Crc()
    crc.over(b"123456789", 0, 9)
    assert (crc.hi << 16 | crc.lo) == 0xCBF43926


@given(st.lists(st.tuples(st.integers(2, 255), payloads), min_size=1, max_size=5))
def test_the_device_hears_what_the_host_packs(sent):
    receiver = Receiver()
    heard = []
    for number, (kind, payload) in enumerate(sent):
        for byte in wire.pack(number, kind, payload):
            if receiver.take(byte) == Receiver.FRAME:
                heard.append((receiver.kind, bytes(receiver.body[frames.HEAD : receiver.end])))
    assert heard == sent


@given(st.integers(0, 255), st.integers(0, 255), st.binary(max_size=240))
def test_the_host_hears_what_the_device_sends(times, kind, payload):
    line = bytearray()
    sender = Sender(lambda data, end: line.extend(data[:end]))
    for _ in range(times + 1):
        line.clear()
        sender.begin(kind)
        sender.put(payload)
        sender.send()
    assert line.endswith(b"\0")
    assert len(line) <= frames.TO_HOST
    assert wire.unpack(bytes(line[:-1])) == (times, kind, payload)


@given(payloads)
def test_a_frame_to_the_device_takes_at_most_32_bytes(payload):
    assert len(wire.pack(0, frames.HELLO, payload)) <= frames.TO_DEVICE == 32


@given(st.binary(max_size=60))
def test_bytes_that_are_no_frame_are_refused(chunk):
    # 2^-32 of them would pass; hypothesis does not find those.
    with pytest.raises(wire.DamagedFrame):
        wire.unpack(chunk)
