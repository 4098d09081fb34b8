"""Charts saved, loaded and restarted for players; the whole machine in a snapshot."""

from chart_bench import Bench, owner, refusal, single

from firmware.base import ticks
from firmware.base.timers import Timers
from firmware.charts import snapshot
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import ANY, History, Region, State, after
from firmware.charts.pack import pack
from firmware.charts.region_state import load_region, save_region

STATES = (State("off"), State("on", states=(State("low"), State("high"), History("was"))))
LAMP = (
    ("off", "press", "was", "lit"),
    ("on", "press", "off"),
    ("low", "more", "high"),
    ("on", after(1000), "off", "out"),
)
DOOR = (("shut", "press", "open"), ("open", "press", "shut"))


def made():
    thing = owner("lit", "out")
    return thing, Bench([Region("lamp", thing, LAMP, STATES), Region("door", None, DOOR)])


def test_a_chart_is_saved_for_one_player_and_taken_up_again():
    thing, bench = made()
    engine = bench.engine
    size = engine.region_size(0)
    fresh, later = bytearray(size), bytearray(size + 3)
    assert engine.save_region(0, fresh) == size
    bench.post("press", "more")
    bench.timers.now += 400
    assert engine.save_region(0, later, 3) == size
    assert engine.load_region(0, fresh) == size
    assert bench.at("lamp/off")
    assert bench.timers.due() == -1
    bench.timers.now += 5000
    engine.load_region(0, later, 3)
    assert bench.at("lamp/high")
    assert bench.timers.due() == 600
    assert bench.at("door/open")
    assert thing.log == ["lit"]


def test_history_goes_with_the_player():
    _, bench = made()
    one = bytearray(bench.engine.region_size(0))
    bench.post("press", "more", "press")
    bench.engine.save_region(0, one)
    bench.engine.restart_region(0)
    bench.post("press")
    assert bench.at("lamp/low")
    bench.engine.load_region(0, one)
    bench.post("press")
    assert bench.at("lamp/high")


def test_restart_is_silent_and_starts_the_first_timers():
    thing = owner("into", "out")
    rows = (("a", after(50), "b"), ("b", after(70), "a"))
    bench = Bench([Region("x", thing, rows, (State("a", "into", "out"),))])
    bench.later(50)
    assert bench.at("x/b")
    thing.log = []
    bench.engine.touched[0] = 0
    bench.engine.restart_region(0)
    assert thing.log == []
    assert bench.at("x/a")
    assert bench.timers.due() == 50
    assert bench.engine.touched[0] == 1


def test_a_snapshot_goes_on_in_a_fresh_machine_under_another_clock():
    _, bench = made()
    bench.post("press", "more")
    bench.timers.now = ticks.add(bench.timers.now, 700)
    bench.engine.post(bench.events.find("press"), -7)
    saved = snapshot.take(bench.engine)
    other_thing, other = made()
    other.timers.now = ticks.MASK - 100
    snapshot.restore(other.engine, saved)
    assert other.at("lamp/high")
    assert other.at("door/open")
    assert other.timers.due() == 300
    assert other.engine.settle() == 1
    assert other.engine.value == -7
    assert other.at("lamp/off")
    assert other.at("door/shut")
    other.post("press")
    assert other.at("lamp/high")
    assert other_thing.log == ["lit"]


def test_a_snapshot_of_other_charts_or_a_damaged_one_is_refused():
    _, bench = made()
    bench.post("press")
    saved = snapshot.take(bench.engine)
    stranger = Bench([Region("lamp", None, DOOR)])
    assert "other charts" in refusal(lambda: snapshot.restore(stranger.engine, saved))
    before = snapshot.take(bench.engine)
    for damaged in (saved[:-1], saved + b"\0", b"", saved[:16] + b"\xff\xff" + saved[18:]):
        assert refusal(lambda damaged=damaged: snapshot.restore(bench.engine, damaged))
        assert snapshot.take(bench.engine) == before


def test_a_snapshot_is_not_taken_in_an_action():
    class Owner:
        told = ""

        def act(self, event):
            self.told = refusal(lambda: snapshot.take(bench.engine))

    thing = Owner()
    bench = Bench([Region("x", thing, ((ANY, "e", None, "act"),))])
    bench.post("e")
    assert "between two events" in thing.told


def test_eventless_transitions_are_looked_at_after_a_chart_was_loaded():
    bench = Bench(
        [
            Region("x", None, (("a", "e", "b"), ("b", None, "c", None, "in y/q"))),
            Region("y", None, (("p", "f", "q"),)),
        ]
    )
    saved = bytearray(bench.engine.region_size(1))
    bench.post("f")
    bench.engine.save_region(1, saved)
    bench.engine.restart_region(1)
    bench.post("e")
    assert bench.at("x/b")
    bench.engine.load_region(1, saved)
    bench.engine.settle()
    assert bench.at("x/c")


def test_a_snapshot_whose_queue_is_damaged_changes_nothing():
    _, bench = made()
    bench.post("press")
    before = snapshot.take(bench.engine)
    bench.engine.post(bench.events.find("more"))
    saved = snapshot.take(bench.engine)
    at = saved.find(b"\x01\x00", 16 + 2 * len(bench.engine.leaf) + 2)
    assert saved[at + 2 : at + 4] == bytes([bench.events.find("more"), 0])
    _, other = made()
    snapshot.restore(other.engine, before)
    for event in (b"\xff\xff", bytes([len(bench.events), 0])):
        damaged = saved[: at + 2] + event + saved[at + 4 :]
        assert "damaged" in refusal(lambda damaged=damaged: snapshot.restore(other.engine, damaged))
        assert snapshot.take(other.engine) == before
    snapshot.restore(other.engine, saved)
    assert other.engine.settle() == 1
    assert other.at("lamp/high")


def test_a_snapshot_with_more_events_waiting_than_there_is_room_for_is_refused():
    region = Region("door", None, DOOR)
    events = Events()
    table = pack([region], events)
    wide, narrow = Engine(table, Timers(), None, 8), Engine(table, Timers(), None, 2)
    for engine in (wide, narrow):
        engine.start()
    for _ in range(3):
        wide.post(events.find("press"))
    assert "queues" in refusal(lambda: snapshot.restore(narrow, snapshot.take(wide)))
    assert narrow.settle() == 0


def test_an_eventless_transition_is_told_the_argument_of_the_event_before_it():
    class Owner:
        told = ()
        open = False

        def note(self, event):
            self.told += (self.bench.engine.value,)

        def is_open(self, event):
            return self.open

    def made():
        thing = Owner()
        rows = (("a", "e", None), ("a", None, "b", "note", "is_open"))
        thing.bench = Bench([Region("x", thing, rows)], ("unheard",))
        return thing

    for internal in (False, True):
        first, second = made(), made()
        engine = first.bench.engine
        number = first.bench.events.find("unheard")
        (engine.raise_ if internal else engine.post)(number, 7)
        engine.settle()
        snapshot.restore(second.bench.engine, snapshot.take(engine))
        for thing in (first, second):
            thing.open = True
            thing.bench.engine.mark_dirty()
            thing.bench.engine.settle()
            assert thing.told == (7,)


def test_a_chart_of_more_states_than_a_byte_counts_is_kept():
    states = tuple([State("s" + str(i)) for i in range(300)])
    rows = (("s0", "x", "s290"),)
    first, other = single(rows, states), single(rows, states)
    first.post("x")
    saved = bytearray(64)
    assert save_region(first.engine, 0, saved, 0) == load_region(other.engine, 0, saved, 0)
    assert other.at("x/s290")
