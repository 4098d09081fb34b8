"""Debounce: one event for one meeting of contacts.

Bounce figures: J. Ganssle, "A Guide to Debouncing": 16 of 18 switches averaged 1557 µs, at most
6200 µs; the worst one bounced for 157 ms on opening (as quoted).
"""

from firmware.base.errors import GameError
from firmware.base.timers import Timers
from firmware.devices.switches import CLASSES, Switches, class_times

BOUNCE = 7  # ms, Ganssle's longest ordinary bounce rounded up
WORST = 157


def made(rows):
    """The switches, and the agenda that debounces them."""
    timers = Timers()
    for _ in rows:
        timers.add(-1)
    return Switches(rows, bytearray(len(rows)), timers), timers


def run(name, changes, until):
    """Edges [(ms, closed)] that come out of raw changes {ms: closed} of a switch of this class."""
    switches, timers = made((("x", name, "playfield", 1, 1),))
    edges = []
    for now in range(until):
        timers.now = now
        if now in changes:
            switches.change(0, changes[now])
        if timers.pop() == 0:
            switches.closed[0] = switches.raw[0]
            edges.append((now, switches.raw[0]))
    return edges


def chatter(start, length, ends_closed):
    changes = {}
    for i in range(length):
        changes[start + i] = 1 - (i + 1 - ends_closed) % 2
    changes[start + length] = ends_closed
    return changes


def test_bounce_gives_one_event_in_every_class():
    for name, close_ms, open_ms in CLASSES:
        changes = chatter(10, BOUNCE, 1)
        changes.update(chatter(600, BOUNCE, 0))
        edges = run(name, changes, 1200)
        assert [closed for _, closed in edges] == [1, 0], name
        assert edges[0][0] <= 10 + BOUNCE + close_ms
        assert edges[1][0] == 600 + BOUNCE + open_ms


# Longest bounce (ms) that makers print, and the classes whose wires may lead to such a contact. Membranes: a
# maker's page of specifications (read, danprint.com.br); tact switch: data sheet of the JTP-1136C (read).
PRINTED = (
    ("flat membrane", 3, [row[0] for row in CLASSES]),
    ("metal dome", 10, ["bumper", "sling", "target", "rollover", "tilt", "lane", "rest", "service", "coin"]),
    (
        "polyester dome",
        19,
        ["bumper", "sling", "target", "rollover", "tilt", "lane", "rest", "service", "coin"],
    ),
    ("tact switch", 20, ["lane", "rest", "service", "coin"]),
)


def test_contacts_as_makers_print_them_give_one_event():
    for what, bounce, classes in PRINTED:
        for name in classes:
            changes = chatter(10, bounce, 1)
            changes.update(chatter(600, bounce, 0))
            assert [closed for _, closed in run(name, changes, 1200)] == [1, 0], (what, name)


def test_a_dome_is_too_much_for_the_quickest_classes():
    for name in ("spinner", "flipper"):
        changes = {10: 1, 30: 0, 39: 1, 60: 0}
        assert len(run(name, changes, 300)) == 4, name


# As chosen (common practice, no source): still for so long to count as closed, as open (ms).
CHOSEN = {
    "bumper": (1, 30),
    "sling": (1, 30),
    "spinner": (1, 8),
    "target": (4, 20),
    "rollover": (4, 20),
    "flipper": (3, 8),
    "tilt": (2, 20),
    "service": (30, 170),
    "coin": (30, 170),
    "lane": (200, 40),
    "rest": (200, 200),
}


def test_a_change_counts_after_the_time_of_its_class_and_not_a_millisecond_sooner():
    assert sorted([row[0] for row in CLASSES]) == sorted(CHOSEN)
    for name, (close_ms, open_ms) in CHOSEN.items():
        assert run(name, {10: 1, 500: 0}, 1000) == [(10 + close_ms, 1), (500 + open_ms, 0)], name


def test_the_worst_contact_gives_one_event_in_the_slow_classes():
    for name in ("rest", "coin", "service"):
        changes = {10: 1}
        for i in range(0, WORST, 2):
            changes[600 + i] = 0
            changes[601 + i] = 1
        changes[600 + WORST + 1] = 0
        edges = run(name, changes, 1500)
        assert [closed for _, closed in edges] == [1, 0], name


def test_bumper_hits_80_ms_apart_stay_two():
    changes = {10: 1, 25: 0, 90: 1, 105: 0}
    edges = run("bumper", changes, 300)
    assert [closed for _, closed in edges] == [1, 0, 1, 0]


def test_a_contact_that_changes_back_in_time_is_nothing():
    assert run("target", {10: 1, 12: 0}, 100) == []


def test_edges_of_one_millisecond_come_by_switch_number():
    rows = tuple([("s" + str(i), "target", "playfield", 1, i) for i in range(4)])
    switches, timers = made(rows)
    timers.now = 100
    for i in (3, 1, 2):
        switches.change(i, 1)
    assert timers.due() == 4
    timers.now = 104
    assert [timers.pop(), timers.pop(), timers.pop(), timers.pop()] == [1, 2, 3, -1]
    assert timers.due() == -1


def test_debounce_goes_on_across_the_wrap():
    switches, timers = made((("x", "rest", "playfield", 1, 1),))
    timers.now = 0x3FFFFFFF - 50
    switches.change(0, 1)
    timers.now = 0x3FFFFFFF
    assert timers.due() == 150
    timers.now = 148
    assert timers.pop() == -1
    timers.now = 149
    assert timers.pop() == 0


def test_an_unknown_class_is_refused_with_the_near_miss():
    try:
        class_times("rolover", "bee.1")
    except GameError as error:
        assert "bee.1" in str(error)
        assert "did you mean 'rollover'?" in str(error)
    else:
        raise AssertionError("an unknown class passed")


def test_a_board_that_debounces_itself_gives_one_edge_at_once_and_waits_until_it_is_taken():
    switches, timers = made((("x", "rest", "playfield", 1, 1), ("y", "rest", "playfield", 1, 2)))
    assert switches.settled(1, 0)  # nothing new
    assert timers.pop() == -1
    assert switches.settled(1, 1)
    assert not switches.settled(1, 0)
    assert (timers.pop(), timers.pop()) == (1, -1)
    assert bytes(switches.raw) == b"\0\1"
    switches.closed[1] = 1
    assert switches.settled(1, 1)
    assert timers.pop() == -1
    assert switches.settled(1, 0)
    assert (timers.pop(), switches.raw[1]) == (1, 0)
