"""Bounce through a board's own scan: contacts in microseconds, samples every 500, one event a meeting.

Figures as in test_switches: J. Ganssle, "A Guide to Debouncing", at most 6200 µs, the worst contact 157 ms
on opening (read, as quoted).
"""

from firmware.base.chance import Stream
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter as c
from firmware.devices.native import scanner
from firmware.devices.scan import Scan
from firmware.devices.switches import CLASSES

BOUNCE_US = 6200
WORST_US = 157_000
SLOW = ("rest", "coin", "service")
HIT_US = 15_000
ROUNDS = 8


class Wiring:
    SWITCHES = ()
    LAMPS = ()
    COILS = (("kick", "snap", 20, 30, 50, 3),)
    REFLEXES = ()
    FLIPPERS = ()


class Rig:
    """One contact of a class at row 1, column 1, scanned; `us` is where the first sample falls."""

    def __init__(self, name, phase_us):
        class One(Wiring):
            SWITCHES = (("x", name, "playfield", 1, 1),)
            REFLEXES = (("x", "kick", 20, 60),) if name == "bumper" else ()

        self.limiter = CoilLimiter(One)
        self.scan = Scan(One.SWITCHES, self.limiter)
        self.phase = phase_us
        self.edges = []
        self.fired = 0

    def run(self, changes, until_ms):
        """`changes`: times in µs at which the level turns over, from open."""
        at = 0
        level = 0
        groups = ([0] * scanner.GROUPS, [0] * scanner.GROUPS)
        for now in range(until_ms):
            self.limiter.renew(True, now)
            for half in (0, 1):
                sample = now * 1000 + half * 500 + self.phase
                while at < len(changes) and changes[at] <= sample:
                    level = 1 - level
                    at += 1
                groups[half][0] = level
            self.scan.step(groups[0], groups[1], now)
            s = self.scan.state
            while s[scanner.RING_HELD]:
                edge = s[scanner.AT_RING + s[scanner.RING_FIRST]]
                s[scanner.RING_FIRST] = (s[scanner.RING_FIRST] + 1) % scanner.RING
                s[scanner.RING_HELD] -= 1
                self.edges.append((now, edge & 1))
            row = self.limiter.first()
            while row >= 0:
                self.fired += self.limiter.state[row] == c.FIRED
                self.limiter.drop_first()
                row = self.limiter.first()
        return [closed for _, closed in self.edges]


def bounce(chance, start_us, length_us):
    """An odd number of changes within so long, the last of them at its end at the latest."""
    turns = 2 * chance.below(8)
    times = sorted([start_us + chance.below(length_us // 100) * 100 for _ in range(turns)])
    return times + [start_us + length_us]


def test_6_2_ms_of_bounce_gives_one_event_in_every_class():
    chance = Stream(5)
    for name, _close_ms, _open_ms in CLASSES:
        for turn in range(ROUNDS):
            rig = Rig(name, chance.below(500))
            changes = bounce(chance, 20_000, BOUNCE_US) + bounce(chance, 400_000, BOUNCE_US)
            assert rig.run(changes, 700) == [1, 0], (name, turn)


def test_157_ms_of_bounce_on_opening_gives_one_event_in_the_slow_classes():
    chance = Stream(6)
    for name in SLOW:
        for turn in range(ROUNDS):
            rig = Rig(name, chance.below(500))
            changes = bounce(chance, 20_000, BOUNCE_US) + bounce(chance, 400_000, WORST_US)
            assert rig.run(changes, 900) == [1, 0], (name, turn)


def test_it_takes_so_long_a_debounce_for_it():
    """The control: in a quick class the worst contact is more than one event."""
    rig = Rig("target", 100)
    changes = [20_000]
    for i in range(5):
        changes += [400_000 + i * 30_000, 424_000 + i * 30_000]
    changes += [400_000 + WORST_US]
    assert len(rig.run(changes, 900)) > 2


def test_bumper_hits_80_ms_apart_stay_two_and_each_fires_once():
    chance = Stream(7)
    for turn in range(ROUNDS):
        rig = Rig("bumper", chance.below(500))
        changes = []
        for start in (30_000, 110_000):
            changes += bounce(chance, start, BOUNCE_US) + bounce(chance, start + HIT_US, BOUNCE_US)
        assert rig.run(changes, 300) == [1, 0, 1, 0], turn
        assert rig.fired == 2, turn
