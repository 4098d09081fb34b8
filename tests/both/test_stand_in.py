"""The stand-in for a playfield: its contacts, its samples, its side of the line."""

import hashlib
from array import array

from boards.stand_in import session as seat
from boards.stand_in.contacts import LEVELS, MATRIX, NONE, PLACES, Contacts
from boards.stand_in.samples import CHANGES, FIRST_LAMP, Samples
from boards.stand_in.session import NAME, SILENT_MS, Session
from firmware.link import frames
from firmware.link.frames import HEAD, Receiver, Sender

OFF = 0xFFFFFF
DARK = 0x00FF  # no column high, every row high
SIZE = 64


def place(column, row):
    return (column - 1) * 8 + row - 1


def column_low(*columns):
    level = NONE
    for column in columns:
        level &= ~(1 << column - 1)
    return level


def table():
    return Contacts(bytearray(LEVELS))


def test_a_closed_contact_pulls_its_row_down_in_its_column_alone():
    contacts = table()
    contacts.set(place(3, 5), True)
    for column in range(1, 9):
        expected = 1 << 4 if column == 3 else 0
        assert contacts.rows[column_low(column)] == expected
    assert contacts.rows[NONE] == 0
    contacts.set(place(3, 5), False)
    assert max(contacts.rows) == 0


def test_three_corners_of_a_rectangle_make_no_ghost():
    contacts = table()
    for column, row in ((1, 1), (1, 2), (2, 1)):
        contacts.set(place(column, row), True)
    assert contacts.rows[column_low(2)] == 0b01
    assert contacts.rows[column_low(1)] == 0b11
    assert contacts.rows[column_low(1, 2)] == 0b11


def test_a_row_stays_down_where_another_low_column_still_holds_it():
    contacts = table()
    contacts.set(place(1, 1), True)
    contacts.set(place(2, 1), True)
    contacts.set(place(1, 1), False)
    assert contacts.rows[column_low(1)] == 0
    assert contacts.rows[column_low(2)] == 1
    assert contacts.rows[column_low(1, 2)] == 1
    contacts.set(place(2, 1), False)
    assert max(contacts.rows) == 0


def test_a_table_that_begins_later_in_its_memory_leaves_what_is_before_alone():
    memory = bytearray([170] * (LEVELS + 10))
    contacts = Contacts(memory, 10)
    contacts.set(place(8, 8), True)
    assert bytes(memory[:10]) == bytes([170] * 10)
    assert memory[10 + column_low(8)] == 128


def test_direct_inputs_are_one_word():
    contacts = table()
    contacts.set(MATRIX, True)
    contacts.set(PLACES - 1, True)
    assert contacts.direct == 0x8001
    contacts.set(MATRIX, False)
    assert contacts.direct == 0x8000
    contacts.open_all()
    assert contacts.direct == 0


class Ring:
    """Samples as DMA writes them."""

    def __init__(self, first=0):
        self.words = array("i", [OFF, DARK] * (SIZE + first))
        self.samples = Samples(self.words, 2 * first, SIZE)
        self._first = first
        self._end = 0

    def put(self, drives=0, column=0, rows=0, times=1):
        for _ in range(times):
            at = 2 * (self._first + self._end)
            self.words[at] = OFF & ~drives
            self.words[at + 1] = (1 << column - 1 << 8 if column else 0) | (0xFF & ~rows)
            self._end = (self._end + 1) % SIZE
        self.samples.look(self._end)

    def changes(self):
        taken = []
        while self.samples.held:
            taken.append((self.samples.take(0), self.samples.take(1), self.samples.take(2)))
        return taken


def test_a_drive_is_on_from_the_second_sample_that_says_so():
    ring = Ring(first=3)
    ring.put(times=8)
    ring.put(drives=1 << 11, times=40)
    ring.put(times=8)
    assert ring.changes() == [(2, 12, 1), (12, 12, 0)]
    assert ring.samples.drives == 0


def test_one_sample_alone_is_noise():
    ring = Ring()
    ring.put(times=5)
    ring.put(drives=1 << 3)
    ring.put(times=5)
    assert ring.changes() == []


def test_the_ring_goes_round_and_time_goes_on():
    ring = Ring()
    for _ in range(100):
        ring.put(times=40)
    ring.put(drives=1, times=4)
    assert ring.changes() == [(1000, 1, 1)]
    assert ring.samples.now_ms == 1001


def test_a_lamp_is_lit_while_its_column_shows_it():
    ring = Ring()
    for _ in range(3):
        ring.put(column=2, rows=0b101, times=4)
        ring.put(column=3, rows=0b010, times=4)
    ring.put(column=2, rows=0b001, times=4)
    lines = [(line, level) for _, line, level in ring.changes()]
    assert lines == [(FIRST_LAMP + 8, 1), (FIRST_LAMP + 10, 1), (FIRST_LAMP + 17, 1), (FIRST_LAMP + 10, 0)]
    assert ring.samples.lamps[1] == 1
    assert ring.samples.lamps[2] == 2


def test_rows_without_a_column_and_two_columns_at_once_light_nothing():
    ring = Ring()
    ring.put(column=0, rows=0xFF, times=8)
    at = 2 * 8
    for i in range(8):
        ring.words[at + 2 * i + 1] = 0b11 << 8
    ring.samples.look(16)
    assert ring.changes() == []


def test_changes_beyond_the_room_are_counted():
    ring = Ring()
    for _ in range(CHANGES // 24 + 2):
        ring.put(drives=OFF, times=2)
        ring.put(times=2)
    assert ring.samples.held == CHANGES
    assert ring.samples.lost == 2 * 24 * (CHANGES // 24 + 2) - CHANGES


class Host:
    """The host's end of the line."""

    def __init__(self):
        self.ring = Ring()
        self.contacts = table()
        self.moved = 0
        self.got = []
        self.session = Session(self.contacts, self.ring.samples, self._heard, self._moved)
        self._in = Receiver(frames.TO_HOST)
        self._out = Sender(self._say, frames.TO_DEVICE)
        self.now = 0

    def _moved(self):
        self.moved += 1

    def _heard(self, data, end):
        for i in range(end):
            if self._in.take(data[i]) == Receiver.FRAME:
                self.got.append((self._in.kind, bytes(self._in.body[HEAD : self._in.end])))

    def _say(self, data, end):
        for i in range(end):
            self.session.take(data[i], self.now)

    def send(self, kind, payload=b""):
        self.got = []
        self._out.begin(kind)
        self._out.put(payload)
        self._out.send()
        return self.got

    def hello(self):
        self._out.restart()
        self._in.expect(0)
        return self.send(frames.HELLO, bytes(range(16)) + bytes([frames.PROTOCOL]))


def contact(where, closed):
    return bytes([where & 0xFF, where >> 8, closed])


def test_it_says_what_it_is():
    got = Host().hello()
    digest = hashlib.sha256(bytes(range(16)) + NAME).digest()
    assert got == [(frames.WELCOME, bytes([frames.PROTOCOL]) + digest + NAME)]


def test_contacts_close_by_the_host_and_open_when_a_session_begins():
    host = Host()
    host.hello()
    assert host.send(frames.CONTACT, contact(place(4, 2), 1)) == []
    assert host.contacts.rows[column_low(4)] == 2
    host.hello()
    assert host.contacts.rows[column_low(4)] == 0


def test_changes_come_when_they_are_asked_for():
    host = Host()
    host.hello()
    host.ring.put(drives=1 << 23, times=4)
    assert host.send(frames.ALIVE) == [
        (seat.SEEN, bytes([0, 0, 0, 0, 24, 0, 1, 0])),
        (frames.PRESENT, bytes([1, 0, 0, 0, 0, 0, 0, 0])),
    ]
    assert host.send(frames.ALIVE) == [(frames.PRESENT, bytes([1, 0, 0, 0, 0, 0, 0, 0]))]


def test_what_is_on_now_can_be_asked_for():
    host = Host()
    host.ring.put(drives=5, column=8, rows=3, times=4)
    host.hello()
    assert host.send(frames.ASK, bytes([seat.DRIVES, 0, 0])) == [(frames.FACTS, bytes([0, 0, 0, 5, 0, 0, 0]))]
    got = host.send(frames.ASK, bytes([seat.LAMPS, 0, 0]))
    assert got == [(frames.FACTS, bytes([1, 0, 0] + [0] * 28 + [3, 0, 0, 0]))]


def test_a_place_that_is_none_opens_every_contact():
    host = Host()
    host.hello()
    host.send(frames.CONTACT, contact(place(1, 1), 1))
    got = host.send(frames.CONTACT, contact(PLACES, 1))
    assert got[0][0] == frames.FAULT
    assert got[0][1][0] == frames.REFUSED
    assert max(host.contacts.rows) == 0
    assert host.send(frames.ALIVE) == []


def test_a_silent_host_opens_every_contact():
    host = Host()
    host.hello()
    host.send(frames.CONTACT, contact(MATRIX + 3, 1))
    host.session.tick(SILENT_MS)
    assert host.contacts.direct == 8
    host.session.tick(SILENT_MS + 1)
    assert host.contacts.direct == 0
    assert host.got[-1][1][0] == frames.SILENT


def test_a_damaged_frame_opens_every_contact():
    host = Host()
    host.hello()
    host.send(frames.CONTACT, contact(MATRIX, 1))
    for byte in (3, 77, 77, 0):
        host.session.take(byte, 0)
    assert host.contacts.direct == 0
    assert host.got[-1][1][0] == frames.DAMAGED


def test_frames_that_do_not_belong_here_end_the_session():
    for kind, payload in ((frames.START, bytes(5)), (frames.ALIVE, b"1"), (frames.ASK, bytes([2, 0, 0]))):
        host = Host()
        host.hello()
        assert host.send(kind, payload)[0][0] == frames.FAULT
        assert not host.session.is_open


def test_stop_opens_every_contact_and_says_nothing():
    host = Host()
    host.hello()
    host.send(frames.CONTACT, contact(MATRIX, 1))
    assert host.send(frames.STOP) == []
    assert host.contacts.direct == 0
    assert host.send(frames.ALIVE) == []
