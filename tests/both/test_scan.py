"""The scan of 80 contacts, against a model of each: changes at once, edges after their times."""

from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.devices.native import scanner
from firmware.devices.scan import build, place
from firmware.devices.switches import CLASSES

PRIMING = 8  # equal scans until contacts count
TIMES = {name: (close_ms, open_ms) for name, close_ms, open_ms in CLASSES}


def wired():
    """Rows of wiring for most places, every class among them, and the names of inverted ones."""
    rows = []
    for column in range(1, 9):
        for row in range(1, 9):
            if (row, column) not in ((3, 2), (8, 8)):
                rows.append(("m." + str(row) + "." + str(column), "", "playfield", row, column))
    for column in range(1, 16):
        rows.append(("d." + str(column), "", "cabinet", 0, column))
    for i in range(len(rows)):
        name, _, zone, row, column = rows[i]
        rows[i] = (name, CLASSES[i * 7 % len(CLASSES)][0], zone, row, column)
    return tuple(rows), ("m.1.1", "m.4.6", "m.8.7", "d.2", "d.15")


class Contact:
    """One contact: its level, what it is known to be, and when a change of that is due."""

    def __init__(self, switch, kind, inverted):
        self.switch = switch
        self.close_ms, self.open_ms = TIMES[kind]
        self.inverted = inverted
        self.level = 0
        self.still = 0
        self.due = None

    def prime(self, level, now):
        self.level = level
        if level ^ self.inverted:
            self.due = now + self.close_ms

    def change(self, one, two, now):
        """Whether it changed, and to what."""
        if one != two or one == self.level:
            return None
        self.level = one
        closed = one ^ self.inverted
        self.due = None if closed == self.still else now + (self.close_ms if closed else self.open_ms)
        return closed

    def edge(self, now):
        if self.due is None or now < self.due:
            return None
        self.due = None
        self.still ^= 1
        return self.still


class Model:
    """All contacts by their numbers; `now` counts from 0 and never wraps."""

    def __init__(self, rows, inverted):
        self.contacts = {}
        for i in range(len(rows)):
            name, kind, _, row, column = rows[i]
            self.contacts[place(name, row, column)] = Contact(i, kind, 1 if name in inverted else 0)
        self.levels = [0] * 80
        self.equal = 0

    def step(self, one, two, now):
        """Changes and edges of a millisecond, as (switch, closed) in the order of the contacts."""
        changes, edges = [], []
        if self.equal < PRIMING:
            self.equal = self.equal + 1 if one == two == self.levels else 1
            self.levels = list(one)
            if self.equal == PRIMING:
                for number in sorted(self.contacts):
                    self.contacts[number].prime(one[number], now)
            return changes, edges
        for number in sorted(self.contacts):
            contact = self.contacts[number]
            closed = contact.change(one[number], two[number], now)
            if closed is not None:
                changes.append((contact.switch, closed))
            closed = contact.edge(now)
            if closed is not None:
                edges.append((contact.switch, closed))
        return changes, edges


def groups(levels):
    """Five groups of sixteen bits."""
    return [sum([levels[16 * group + bit] << bit for bit in range(16)]) for group in range(5)]


def taken(s):
    """The edges in the ring, which is emptied."""
    found = []
    while s[scanner.RING_HELD]:
        edge = s[scanner.AT_RING + s[scanner.RING_FIRST]]
        s[scanner.RING_FIRST] = (s[scanner.RING_FIRST] + 1) % scanner.RING
        s[scanner.RING_HELD] -= 1
        found.append((edge >> 1, edge & 1))
    return found


def compared(start, seed, ms):
    """How many changes and edges there were, each as in the model."""
    rows, inverted = wired()
    s, model, chance = build(rows, inverted), Model(rows, inverted), Stream(seed, 1)
    levels = [chance.below(2) for _ in range(80)]
    counts = [0, 0]
    for now in range(ms):
        for _ in range(chance.below(5)):
            levels[chance.below(80)] ^= 1
        if now < 3 * PRIMING and now % (PRIMING + 1):  # until they are equal for long enough
            levels = list(model.levels) if now > 1 else levels
        one, two = list(levels), list(levels)
        if now > 3 * PRIMING:
            two[chance.below(80)] ^= 1
        answered = scanner.scan(s, groups(one) + groups(two), ticks.add(start, now))
        changes, edges = model.step(one, two, now)
        found = s[scanner.AT_CHANGES : scanner.AT_CHANGES + answered]
        assert [(each >> 1, each & 1) for each in found] == changes, now
        assert taken(s) == edges, now
        counts[0] += len(changes)
        counts[1] += len(edges)
    return counts


def test_changes_and_edges_are_those_of_the_model():
    for start, seed in ((5, 1), (ticks.MASK - 400, 2)):
        changes, edges = compared(start, seed, 900)
        assert changes > 1000 and edges > 300, (changes, edges)


def test_contacts_count_once_eight_scans_agree_and_what_is_closed_then_is_an_edge_but_no_change():
    rows = (("one", "target", "playfield", 1, 1), ("eye", "target", "playfield", 2, 1))
    for equal, edges in ((PRIMING - 1, []), (PRIMING, [(0, 1)])):
        s = build(rows, ("eye",))
        now = 0
        for levels in [[3, 0, 0, 0, 0]] * equal:
            assert scanner.scan(s, levels + levels, now) == 0
            now += 1
        found = []
        for _ in range(6):
            noise = [3, 0, 0, 0, now & 1]
            assert scanner.scan(s, noise + noise, now) == 0
            found += taken(s)
            now += 1
        assert found == edges, equal


def test_edges_that_find_the_ring_full_are_counted():
    rows, _ = wired()
    s = build(rows)
    for now in range(PRIMING):
        scanner.scan(s, [0] * 10, now)
    for now in range(PRIMING, 300):
        scanner.scan(s, [0xFFFF] * 10, now)
    assert s[scanner.RING_HELD] == scanner.RING == 64
    assert s[scanner.RING_LOST] == len(rows) - 64
