"""The link's codecs and the device's end of it.

Outside values: CRC check value from G. Cook's catalogue of parametrised CRC algorithms (ran against
PyPI `crc` 8, `crcmod` 1.7, `fastcrc` 0.5); those of COBS are in cobs_examples.
"""

from cobs_examples import COBS_EXAMPLES, COBS_REFUSED, restored, stuffed

from firmware.base.crc import Crc
from firmware.link import cobs, frames
from firmware.link.frames import Receiver, Sender


def sent(frame, most=frames.TO_HOST):
    """The bytes on the wire of a sender that `frame` works with."""
    wire = bytearray()
    sender = Sender(lambda data, end: wire.extend(data[:end]), most)
    frame(sender)
    return wire


def received(wire, receiver):
    """(what, kind, payload) of everything that the bytes complete."""
    found = []
    for byte in wire:
        got = receiver.take(byte)
        if got == Receiver.FRAME:
            found.append((got, receiver.kind, bytes(receiver.body[frames.HEAD : receiver.end])))
        elif got != Receiver.NOTHING:
            found.append((got, 0, b""))
    return found


def three(sender):
    for n in (0, 1, 1000):
        sender.begin(frames.ADVANCE)
        sender.u32(n)
        sender.send()


def test_crc_has_the_published_check_value():
    crc = Crc()
    crc.over(b"..123456789..", 2, 11)
    assert (crc.hi, crc.lo) == (0xCBF4, 0x3926)


def test_crc_of_nothing_is_nought():
    crc = Crc()
    crc.over(b"", 0, 0)
    assert (crc.hi, crc.lo) == (0, 0)


def test_cobs_gives_the_published_examples():
    for data, wire in COBS_EXAMPLES:
        if len(data) <= cobs.BLOCK:
            assert stuffed(data) == wire, data
        assert restored(wire) == data, wire


def test_cobs_refuses_what_is_no_stuffed_data():
    for wire in COBS_REFUSED:
        assert restored(wire) is None, wire


def test_cobs_restores_what_it_stuffed():
    for n in range(cobs.BLOCK + 1):
        for step in (1, 3, 251):
            data = bytes([i * step % 7 for i in range(n)])
            assert 0 not in stuffed(data)
            assert restored(stuffed(data)) == data


def test_frames_arrive_in_order_with_their_numbers():
    got = received(sent(three), Receiver())
    assert [kind for _, kind, _ in got] == [frames.ADVANCE] * 3
    assert [payload for _, _, payload in got] == [b"\0\0\0\0", b"\1\0\0\0", b"\xe8\3\0\0"]


def test_numbers_come_back_as_they_went():
    for n in (0, 1, -1, 255, 65535, (1 << 30) - 1, -(1 << 30)):

        def one(sender, n=n):
            sender.begin(frames.SETTING)
            sender.u32(n)
            sender.send()

        receiver = Receiver()
        assert len(received(sent(one), receiver)) == 1
        assert receiver.i32(0) == n


def test_a_missing_frame_is_noticed():
    wire = bytes(sent(three))
    second = wire.index(b"\0", wire.index(b"\0") + 1) + 1
    first = wire.index(b"\0") + 1
    got = received(wire[:first] + wire[second:], Receiver())
    assert [what for what, _, _ in got] == [Receiver.FRAME, Receiver.MISSED]


def test_a_frame_that_comes_twice_is_noticed():
    wire = bytes(sent(three))
    first = wire.index(b"\0") + 1
    got = received(wire[:first] + wire, Receiver())
    assert [what for what, _, _ in got[:2]] == [Receiver.FRAME, Receiver.MISSED]


def test_every_single_flipped_bit_is_noticed():
    wire = bytes(sent(three))
    whole = received(wire, Receiver())
    for bit in range(len(wire) * 8):
        bad = bytearray(wire)
        bad[bit // 8] ^= 1 << bit % 8
        got = received(bad, Receiver())
        good = 0
        while good < len(got) and got[good][0] == Receiver.FRAME:
            good += 1
        assert got[:good] == whole[:good], bit
        assert good < 3, bit


def test_zeros_between_frames_are_nothing():
    wire = bytes(sent(three)).replace(b"\0", b"\0\0\0")
    assert received(wire, Receiver()) == received(sent(three), Receiver())


def test_a_frame_longer_than_the_buffer_is_refused_and_the_next_one_heard():
    receiver = Receiver()
    assert received(b"\x01" * 500 + b"\0", receiver) == [(Receiver.BROKEN, 0, b"")]
    assert len(received(sent(three), receiver)) == 3


def test_the_longest_frames_keep_to_their_limits_on_the_wire():
    def full(sender):
        sender.begin(frames.RECORDS)
        sender.put(b"\xff" * (len(sender.wire) - frames.PAYLOAD - frames.TAIL - 1))
        sender.send()

    assert len(sent(full, frames.TO_DEVICE)) == frames.TO_DEVICE == 32
    assert len(sent(full, frames.TO_HOST)) == frames.TO_HOST == 248
    assert frames.PAYLOAD + frames.RECORDS_MOST * 12 + frames.TAIL + 1 == frames.TO_HOST


def test_types_of_frames_and_reasons_of_faults_are_all_different():
    f = frames
    to_device = (f.HELLO, f.SETTING, f.START, f.CONTACT, f.ADVANCE, f.FINISH, f.ALIVE, f.STOP)
    to_host = (f.WELCOME, f.STARTED, f.RECORDS, f.DONE, f.FINISHED, f.PRESENT, f.FAULT)
    assert len(set(to_device + to_host)) == len(to_device) + len(to_host)
    reasons = (f.DAMAGED, f.GAP, f.UNEXPECTED, f.REFUSED, f.CRASHED, f.SILENT)
    assert len(set(reasons)) == len(reasons)
