"""Whatever is lost while a machine plays stands in the fault log: by name, once, and counted."""

from chart_bench import single

from firmware.base.errors import ChartError, Livelock
from firmware.base.trace import Trace
from firmware.board import Board
from firmware.charts import snapshot
from firmware.charts.model import ANY
from firmware.console import Console
from firmware.devices import scan
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.lost_edges import LostEdges
from firmware.devices.native import limiter, scanner
from firmware.games.honey_flow import game
from firmware.operator.fault_page import SENTENCES, fault_sentence
from firmware.play.faults import Faults
from firmware.play.feature import Feature
from firmware.play.losses import Losses
from firmware.play.persistence import pack, unpack

try:
    from micropython import heap_lock, heap_unlock
except ImportError:
    heap_lock = heap_unlock = int


class Failing:
    def fail(self, event):
        raise ValueError("told to")


def watched(bench):
    """The fault log of a machine of charts, and who carries its losses there."""
    faults = Faults(Trace())
    return faults, Losses(bench.engine, faults)


def entries(faults):
    return [(faults.name(at), faults.numbers(at)[1]) for at in range(faults.count)]


def after_failing(bench, *events):
    """Post events, whatever is raised."""
    for event in events:
        try:
            bench.post(event)
        except (ValueError, ChartError):
            pass


def test_events_that_found_the_queue_full_are_one_entry_with_how_many():
    bench = single(((ANY, "e", None),))
    faults, losses = watched(bench)
    heap_lock()
    try:
        for _ in range(3):
            for _ in range(35):
                bench.engine.post(0)
            bench.engine.settle()
            losses.report_new()
            losses.report_new()
    finally:
        heap_unlock()
    assert entries(faults) == [("events_dropped", 9)]
    assert faults.numbers(0)[0] == 0  # without a number of its own


def test_a_second_exception_in_one_macrostep_is_an_entry_and_the_first_is_raised():
    bench = single(((ANY, "e", None, ("fail", "fail", "fail")),), (), (), Failing())
    faults, losses = watched(bench)
    after_failing(bench, "e")
    losses.report_new()
    assert entries(faults) == [("rule_error", 2)]


def test_one_exception_is_raised_and_needs_no_entry():
    bench = single(((ANY, "e", None, "fail"),), (), (), Failing())
    faults, losses = watched(bench)
    after_failing(bench, "e", "e")
    losses.report_new()
    assert entries(faults) == []
    assert bench.engine.failures == 2


def test_exceptions_that_only_the_charts_hear_are_entries():
    bench = single(((ANY, "e", None, "fail"), (ANY, "error.execution", None)), (), (), Failing())
    faults, losses = watched(bench)
    bench.post("e", "e")
    losses.report_new()
    assert entries(faults) == [("rule_error", 2)]


def test_a_livelock_is_an_entry_and_the_next_event_is_taken():
    rows = (("a", "e", "b"), ("b", None, "c"), ("c", None, "b"), (ANY, "home", "a"))
    bench = single(rows)
    faults, losses = watched(bench)
    for _ in range(2):
        after_failing(bench, "e")
        losses.report_new()
        assert bench.post("home") == 1
        assert bench.at("x/a")
    assert entries(faults) == [("rules_without_rest", 2)]


def test_an_exception_before_a_livelock_is_the_one_raised_and_both_are_known():
    bench = single((("a", "e", "b", "fail"), ("b", None, "c"), ("c", None, "b")), (), (), Failing())
    faults, losses = watched(bench)
    try:
        bench.post("e")
    except ValueError:
        pass
    losses.report_new()
    assert entries(faults) == [("rules_without_rest", 1)]


def test_internal_events_dropped_at_a_livelock_are_counted_too():
    class Owner:
        def again(self, event):
            bench.engine.raise_(event)
            bench.engine.raise_(event)

    bench = single(((ANY, "e", None, "again"),), (), (), Owner())
    faults, losses = watched(bench)
    after_failing(bench, "e")
    losses.report_new()
    assert [name for name, _ in entries(faults)] == ["events_dropped", "rules_without_rest"]
    assert entries(faults)[0][1] == bench.engine.dropped > 200


def test_a_refused_snapshot_is_an_entry():
    bench = single(((ANY, "e", None),))
    faults, losses = watched(bench)
    saved = snapshot.take(bench.engine)
    for damaged in (saved[:-1], saved[1:]):
        try:
            snapshot.restore(bench.engine, damaged)
        except ChartError:
            pass
    losses.report_new()
    assert entries(faults) == [("snapshot_refused", 2)]


# In a whole machine


class Circles(Feature):
    """Goes in circles once a game was asked for, until a coin comes."""

    name = "circles"
    chart = (
        ("calm", "start", "round"),
        ("round", None, "about"),
        ("about", None, "round"),
        (ANY, "coin.1", "calm"),
    )


class Spoilt:
    NAME, TITLE, SAVERS = game.NAME, game.TITLE, game.SAVERS
    SETTINGS, WIRING = game.SETTINGS, game.WIRING
    FEATURES = tuple(game.FEATURES) + (Circles,)


def close(console, name):
    console.contact(console.switch_names.index(name), 1)
    console.run_to(console.now + 100)
    console.contact(console.switch_names.index(name), 0)
    console.run_to(console.now + 300)


def test_a_livelock_ends_a_run_unless_its_engine_plays_on_and_is_an_entry_either_way():
    for plays_on in (False, True):
        console = Console(Spoilt, Board())
        console.engine.plays_on = plays_on
        try:
            close(console, "start")
            ended = False
        except Livelock:
            ended = True
        assert ended != plays_on
        assert "rules_without_rest" in console.play.faults.names
        if plays_on:
            close(console, "coin.1")
            assert console.engine.is_active(console.engine.state_id("circles/calm"))


def test_reports_of_the_limits_that_found_no_room_are_an_entry_and_counted_as_lost():
    console = Console(game, Board())
    console.run_to(1000)
    for _ in range(limiter.RING + 5):
        console.coils.limiter.fire(0, 9999, console.now)
    heap_lock()
    try:
        console.coils.drain()
        console.coils.drain()
    finally:
        heap_unlock()
    assert entries(console.play.faults) == [("reports_lost", 5)]
    assert console.play.faults.numbers(0)[0] == 0  # no one switch or coil
    assert (console.coils.lost, console.lost()) == (5, 5)


# Edges of a scan


class Wiring:
    SWITCHES = tuple([(f"s.{n}", "bumper", "playfield", n // 8 + 1, n % 8 + 1) for n in range(64)])
    LAMPS = COILS = REFLEXES = FLIPPERS = ()


class Told:
    """A console that knows how its switches stand, and may be too busy to hear."""

    def __init__(self):
        self.level = bytearray(64)
        self.busy = False
        self.edges_lost = 0

        class Play:
            faults = Faults(Trace())

        self.play = Play

    def settled(self, switch, closed):
        if not self.busy:
            self.level[switch] = closed
        return not self.busy


class Scanned:
    """A matrix that is scanned while nobody takes edges, until somebody does."""

    def __init__(self):
        self.scan = scan.Scan(Wiring.SWITCHES, CoilLimiter(Wiring))
        self.now = 0
        self.console = Told()
        self.lost = LostEdges(self.scan.state)
        self.groups = [0] * scanner.GROUPS
        self.run(20)

    def run(self, ms):
        for _ in range(ms):
            self.scan.step(self.groups, self.groups, self.now)
            self.now += 1

    def hand_over(self):
        s = self.scan.state
        while s[scanner.RING_HELD]:
            edge = s[scanner.AT_RING + s[scanner.RING_FIRST]]
            self.console.settled(edge >> 1, edge & 1)
            s[scanner.RING_FIRST] = (s[scanner.RING_FIRST] + 1) % scanner.RING
            s[scanner.RING_HELD] -= 1


def check_lost_edges(half):
    """`half`: which contacts of a group stay closed."""
    rig = Scanned()
    for group in range(4):  # all close, half of them open again: 96 edges for 64 places
        rig.groups[group] = 0xFFFF
    rig.run(10)
    for group in range(4):
        rig.groups[group] = half
    rig.run(40)
    heap_lock()
    try:
        rig.lost.update(rig.console)
    finally:
        heap_unlock()
    assert entries(rig.console.play.faults) == [("edges_lost", 32)]
    assert rig.console.edges_lost == 32
    rig.hand_over()
    assert sum(rig.console.level) == 64
    rig.console.busy = True
    rig.lost.update(rig.console)
    rig.console.busy = False
    rig.lost.update(rig.console)
    for contact in range(64):
        switch = rig.scan.state[scanner.SWITCH + contact]
        assert rig.console.level[switch] == half >> contact % 16 & 1, contact
    rig.lost.update(rig.console)
    assert entries(rig.console.play.faults) == [("edges_lost", 32)]


def test_lost_edges_are_an_entry_and_the_switches_are_set_right_when_the_ring_is_empty():
    for half in (0x5555, 0xAAAA):
        check_lost_edges(half)


def test_a_console_made_after_the_loss_does_not_hear_of_it():
    rig = Scanned()
    rig.scan.state[scanner.RING_LOST] = 7
    LostEdges(rig.scan.state).update(rig.console)
    assert entries(rig.console.play.faults) == []


# For a person


def test_each_of_these_names_can_be_kept_and_has_words_for_a_person():
    for name, sentence in SENTENCES:
        assert unpack(pack(name)) == name
        assert fault_sentence(name) == sentence == sentence.upper()
    assert fault_sentence("wheel_mute") == "wheel mute"


class Losing:
    """What an engine says of its losses."""

    dropped = livelocks = suppressed = refused = new_losses = 0


def test_each_loss_is_reported_once():
    engine, faults = Losing(), Faults(Trace())
    losses = Losses(engine, faults)
    for count in ("dropped", "livelocks", "suppressed", "refused"):
        before = faults.count
        setattr(engine, count, 2)
        for _ in range(3):
            losses.report_new()
        assert faults.count == before + 1, count
        assert faults.numbers(before)[:2] == (0, 2), count
