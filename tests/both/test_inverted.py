"""Opto switches: closed for the rules while their level at the board is open."""

from firmware.base.errors import GameError
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter as c
from firmware.devices.native import scanner
from firmware.devices.scan import Scan, build, place


class Wiring:
    SWITCHES = (
        ("gate", "bumper", "playfield", 1, 1),
        ("spot", "target", "playfield", 2, 1),
        ("eye", "target", "playfield", 0, 3),
    )
    LAMPS = ()
    COILS = (("kick", "snap", 20, 30, 50, 3),)
    REFLEXES = (("gate", "kick", 20, 80),)
    FLIPPERS = ()


class Rig:
    """A scan whose levels a test sets; `edges` are (switch, closed) in order."""

    def __init__(self, inverted):
        self.limiter = CoilLimiter(Wiring)
        self.scan = Scan(Wiring.SWITCHES, self.limiter, inverted)
        self.now = 0
        self.edges = []
        self.fired = 0

    def hold(self, matrix, direct, ms):
        """Levels of the first matrix group and of the direct inputs, held for so long; the rig itself."""
        levels = [matrix, 0, 0, 0, direct]
        for _ in range(ms):
            self.limiter.renew(True, self.now)
            self.scan.step(levels, levels, self.now)
            self.now += 1
            self._take()
        return self

    def _take(self):
        s = self.scan.state
        while s[scanner.RING_HELD]:
            edge = s[scanner.AT_RING + s[scanner.RING_FIRST]]
            s[scanner.RING_FIRST] = (s[scanner.RING_FIRST] + 1) % scanner.RING
            s[scanner.RING_HELD] -= 1
            self.edges.append((edge >> 1, edge & 1))
        row = self.limiter.first()
        while row >= 0:
            self.fired += self.limiter.state[row] == c.FIRED
            self.limiter.drop_first()
            row = self.limiter.first()


GATE_OPEN = 1  # levels: the gate's beam is whole, spot is open
EYE_OPEN = 4


def test_a_whole_beam_is_an_open_switch_from_the_start():
    rig = Rig(("gate", "eye")).hold(GATE_OPEN, EYE_OPEN, 100)
    assert rig.edges == []
    assert rig.fired == 0


def test_a_ball_in_the_beam_closes_it_and_fires_its_reflex_once():
    rig = (
        Rig(("gate", "eye"))
        .hold(GATE_OPEN, EYE_OPEN, 50)
        .hold(0, EYE_OPEN, 15)
        .hold(GATE_OPEN, EYE_OPEN, 100)
    )
    assert rig.edges == [(0, 1), (0, 0)]
    assert rig.fired == 1


def test_a_direct_input_is_inverted_too_and_a_contact_is_not():
    rig = (
        Rig(("gate", "eye"))
        .hold(GATE_OPEN, EYE_OPEN, 50)
        .hold(GATE_OPEN | 2, 0, 50)
        .hold(GATE_OPEN, EYE_OPEN, 50)
    )
    assert sorted(rig.edges) == [(1, 0), (1, 1), (2, 0), (2, 1)]
    assert rig.edges.index((1, 1)) < rig.edges.index((1, 0))
    assert rig.edges.index((2, 1)) < rig.edges.index((2, 0))


def test_a_beam_that_is_broken_at_power_up_is_an_edge_and_fires_nothing():
    rig = Rig(("gate", "eye")).hold(0, EYE_OPEN, 100)
    assert rig.edges == [(0, 1)]
    assert rig.fired == 0


def test_a_contact_that_changes_while_the_first_scans_are_compared_fires_nothing():
    rig = Rig(()).hold(1, 0, 4).hold(0, 0, 6).hold(1, 0, 100)
    assert rig.edges == [(0, 1)]
    assert rig.fired == 0


def test_a_pulse_ends_by_time_alone():
    rig = Rig(()).hold(0, 0, 50).hold(1, 0, 5).hold(0, 0, 5)
    assert rig.limiter.state[c.DRIVEN]
    rig.hold(0, 0, 40)
    assert not rig.limiter.state[c.DRIVEN]


def test_the_same_levels_without_inversion_are_the_other_way_round():
    rig = Rig(()).hold(GATE_OPEN, EYE_OPEN, 100)
    assert sorted(rig.edges) == [(0, 1), (2, 1)]


def test_an_inverted_switch_that_is_not_wired_is_refused():
    try:
        Scan(Wiring.SWITCHES, CoilLimiter(Wiring), ("gat",))
    except GameError as error:
        assert "INVERTED names 'gat', which is not wired; did you mean 'gate'?" in str(error)
    else:
        raise AssertionError("it was taken")


def test_each_contact_is_inverted_by_itself():
    for row in range(9):
        for column in range(1, 17 if row == 0 else 9):
            state = build((("beam", "target", "playfield", row, column),), ("beam",))
            contact = place("beam", row, column)
            bits = [n for n in range(scanner.CONTACTS) if state[scanner.INVERTED + (n >> 4)] >> (n & 15) & 1]
            assert bits == [contact]
