"""The coil governor and the reflexes, below the rules."""

import struct

from firmware.base.errors import GameError
from firmware.base.trace import COIL, FORMAT, RECORD, REFUSED, Trace
from firmware.board import Board
from firmware.devices.coil_limiter import QUEUE_FULL, CoilLimiter
from firmware.devices.coils import QUEUE, REASONS, SPACING, Coils, check
from firmware.devices.native.limiter import DRIVEN, RESTING, RING, RING_LOST, TOO_LONG
from firmware.devices.reflexes import LEASE, Reflexes
from firmware.play.rule_context import RuleContext
from firmware.play.settings import Settings


class Wiring:
    SWITCHES = (
        ("bumper", "bumper", "playfield", 1, 1),
        ("button", "flipper", "cabinet", 0, 1),
        ("eos", "flipper", "cabinet", 0, 2),
    )
    LAMPS = ()
    COILS = (
        ("kick", "snap", 20, 30, 60, 1),
        ("eject", "queued", 30, 60, 300, 2),
        ("reset", "queued", 80, 150, 500, 3),
        ("strong", "flipper", 40, 60, 10, 4),
        ("hold", "flipper", -1, 0, 0, 5),
    )
    REFLEXES = (("bumper", "kick", 20, 80),)
    FLIPPERS = (("button", "eos", "strong", "hold", 40),)
    BALLS = 1


class Rig:
    def __init__(self):
        self.trace = Trace()
        self.play = RuleContext(Wiring, Settings(()), self.trace, 1)
        self.play.armed = True
        self.coils = Coils(self.play, Board())
        self.reflexes = Reflexes(self.play, self.coils)
        self.reflexes.renew()

    def to(self, now):
        timers = self.play.timers
        while True:
            wait = timers.due()
            if wait < 0 or timers.now + wait > now:
                break
            timers.now += wait
            self.trace.now = timers.now
            ident = timers.pop()
            while ident >= 0:
                self.play.hooks[ident]()
                ident = timers.pop()
        timers.now = now
        self.trace.now = now

    def records(self):
        out = bytearray(64 * RECORD)
        n = self.trace.take(out, 0, 64)
        return [struct.unpack_from(FORMAT, out, i * RECORD) for i in range(n)]


class Releases(Board):
    """Notes which coils are released."""

    def __init__(self):
        self.released = []

    def release(self, coil):
        self.released.append(coil)


def test_the_board_is_asked_to_release_a_coil_that_was_held():
    rig = Rig()
    rig.coils.board = board = Releases()
    assert rig.coils.fire(4, -1)
    rig.coils.drain()
    assert board.released == []
    rig.coils.all_off()
    assert 4 in board.released


def test_a_pulse_beyond_the_limit_is_refused_and_recorded():
    rig = Rig()
    assert not rig.coils.fire(0, 31)
    assert rig.records() == [(0, REFUSED, 0, TOO_LONG)]


def test_a_pulse_within_the_rest_is_refused():
    rig = Rig()
    assert rig.coils.fire(0, 20)
    rig.to(79)
    assert not rig.coils.fire(0, 20)
    rig.to(80)
    assert rig.coils.fire(0, 20)
    assert [r[1] for r in rig.records()] == [COIL, REFUSED, COIL]
    assert RESTING == 2


def test_reports_that_find_the_limiter_s_ring_full_are_counted_each_once():
    rig = Rig()
    for turn in (1, 2):
        for _ in range(RING + 3):
            rig.coils.limiter.fire(0, 31, 0)
        rig.coils.drain()
        rig.coils.drain()
        assert rig.coils.lost == 3 * turn
        assert [rig.play.faults.name(0), rig.play.faults.numbers(0)[1]] == ["reports_lost", 3 * turn]
    assert rig.play.faults.count == 1


def test_queued_coils_wait_for_each_other():
    rig = Rig()
    rig.coils.request(1, 30)
    rig.coils.request(2, 80)
    rig.coils.request(1, 30)
    rig.to(1000)
    assert [(r[0], r[2]) for r in rig.records()] == [(0, 1), (SPACING, 2), (330, 1)]


def test_the_queue_keeps_each_coil_with_its_length():
    rig = Rig()
    for coil, ms in ((1, 30), (2, 80), (1, 20), (2, 70), (1, 10)):
        rig.coils.request(coil, ms)
    rig.to(5000)
    assert [(r[2], r[3]) for r in rig.records()] == [(1, 30), (2, 80), (1, 20), (2, 70), (1, 10)]


def test_switching_a_coil_off_forgets_its_waiting_pulses_and_no_others():
    rig = Rig()
    for coil in (1, 2, 1, 2):
        rig.coils.request(coil, 30)
    rig.coils.off(2)
    rig.to(2000)
    assert [(r[0], r[2]) for r in rig.records()] == [(0, 1), (330, 1)]


def test_low_coil_volts_keep_the_queue_waiting_and_nobody_else():
    rig = Rig()
    rig.coils.limiter.volts_low = True
    rig.coils.request(1, 30)
    assert rig.coils.fire(0, 20)
    assert rig.coils.fire(3, 40)
    rig.to(950)
    rig.coils.limiter.volts_low = False
    rig.to(2000)
    assert [(r[0], r[2]) for r in rig.records()] == [(0, 0), (0, 3), (1000, 1)]


def test_only_flippers_and_motors_may_stay_on():
    rig = Rig()
    assert not rig.coils.fire(0, -1)
    assert rig.coils.fire(4, -1)
    rig.coils.off(4)
    assert [(r[1], r[2], r[3]) for r in rig.records()] == [
        (REFUSED, 0, TOO_LONG),
        (COIL, 4, -1),
        (COIL, 4, 0),
    ]


def test_a_coil_table_without_limits_is_refused():
    for row, word in (
        (("a", "snap", 20, 0, 60, 1), "longest"),
        (("a", "snap", 40, 30, 60, 1), "limit"),
        (("a", "snap", 20, 30, 0, 1), "rest"),
        (("a", "snap", -1, 0, 0, 1), "held"),
        (("a", "snp", 20, 30, 60, 1), "did you mean 'snap'?"),
    ):
        try:
            check((row,))
        except GameError as error:
            assert word in str(error), str(error)
        else:
            raise AssertionError(row)


def test_a_bumper_fires_on_the_edge_and_is_locked_out():
    rig = Rig()
    for now, closed in ((0, 1), (10, 0), (40, 1), (50, 0), (90, 1)):
        rig.to(now)
        rig.reflexes.change(0, closed)
    assert [(r[0], r[1]) for r in rig.records()] == [(0, COIL), (90, COIL)]


def test_a_contact_must_open_for_a_while_before_it_fires_again():
    rig = Rig()
    for now, closed in ((0, 1), (197, 0), (200, 1), (250, 0), (260, 1)):
        rig.to(now)
        rig.reflexes.renew()
        rig.reflexes.change(0, closed)
    assert [r[0] for r in rig.records()] == [0, 260]


def test_reflexes_need_a_lease():
    rig = Rig()
    rig.to(LEASE)
    rig.reflexes.change(0, 1)
    assert rig.records() == []
    rig.play.armed = False
    rig.reflexes.renew()
    rig.reflexes.change(0, 0)
    rig.to(LEASE + 50)
    rig.reflexes.change(0, 1)
    assert rig.records() == []


def test_a_flipper_holds_until_the_button_opens():
    rig = Rig()
    rig.reflexes.change(1, 1)
    rig.to(300)
    rig.reflexes.change(1, 0)
    assert [(r[0], r[2], r[3]) for r in rig.records()] == [(0, 3, 40), (0, 4, -1), (300, 4, 0)]


def test_the_end_of_stroke_cuts_the_strong_winding():
    rig = Rig()
    rig.reflexes.change(1, 1)
    rig.to(15)
    rig.reflexes.change(2, 1)
    assert [(r[0], r[2], r[3]) for r in rig.records()] == [(0, 3, 40), (0, 4, -1), (15, 3, 0)]


def test_flippers_fall_when_the_lease_lapses():
    rig = Rig()
    rig.reflexes.change(1, 1)
    rig.records()
    rig.to(LEASE)
    assert not rig.reflexes.armed()
    assert [(r[2], r[3]) for r in rig.records()] == [(4, 0)]


def test_a_ninth_waiting_pulse_is_refused():
    rig = Rig()
    rig.coils.limiter.volts_low = True
    for _ in range(QUEUE):
        rig.coils.request(1, 30)
    assert rig.records() == []
    rig.coils.request(2, 80)
    assert rig.records() == [(0, REFUSED, 2, QUEUE_FULL)]
    assert (QUEUE, REASONS[QUEUE_FULL]) == (8, "queue full")


def test_a_board_with_a_limiter_of_its_own_is_asked_in_place_of_ours():
    rig = Rig()
    board = Releases()
    board.limiter = CoilLimiter(Wiring)
    board.limiter.state[RING_LOST] = 7  # lost before this run
    rig.coils.begin(board)
    assert rig.coils.fire(0, 20)
    assert board.limiter.state[DRIVEN] == 1
    assert rig.coils.lost == 0
