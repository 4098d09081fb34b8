"""A host that only looks at a machine that plays by itself, and contacts that a board refuses."""

import hashlib

from device_rig import NONCE, Beat, Beats, Bench, ask, faulted, i32, kinds, u32

from firmware.base.trace import RECORD
from firmware.board import Board
from firmware.console import Console
from firmware.devices.native import limiter as c
from firmware.games.kit_room import game
from firmware.link import facts, frames
from firmware.link.frames import Receiver

PROTOCOL = bytes([frames.PROTOCOL])
CONTACT = b"\5\0\1"


class PlayingBeats(Beats):
    """It plays by itself until a host takes over."""

    def __init__(self):
        super().__init__()
        self.alone = Beat(Board())

    def playing(self):
        return self.alone

    def give_way(self):
        self.alone = None

    def recognise(self, nonce):
        return hashlib.sha256(nonce + b"quickly").digest()

    def sensed(self):
        return (48000, 5000, 0)


def watched():
    bench = Bench()
    bench.machine = PlayingBeats()
    bench.device._machine = bench.machine
    return bench, watch(bench)


def watch(bench):
    bench._out.restart()
    bench._in = Receiver(frames.TO_HOST)
    return bench.say(frames.WATCH, NONCE, PROTOCOL)


def run(bench, ms):
    bench.machine.alone.run_to(bench.machine.alone.now + ms)


def test_whoever_watches_is_told_what_plays_and_it_plays_on():
    bench, got = watched()
    assert got == [(frames.WELCOME, PROTOCOL + hashlib.sha256(NONCE + b"quickly").digest() + b"beats")]
    assert bench.machine.alone
    assert bench.machine.outputs.did == []


def test_records_are_given_when_they_are_asked_for_the_oldest_first():
    bench, _ = watched()
    run(bench, 25)
    ((kind, payload),) = bench.say(frames.LOOK)
    assert kind == frames.SEEN
    assert payload[:8] == u32(25) + u32(0)
    assert len(payload) == 8 + 2 * RECORD
    assert payload[8:12] == u32(10)
    assert bench.say(frames.LOOK) == [(frames.SEEN, u32(25) + u32(0))]


def test_records_from_before_the_watching_are_no_loss():
    bench = Bench()
    bench.machine = PlayingBeats()
    bench.device._machine = bench.machine
    run(bench, 5000)
    assert bench.machine.alone.trace.lost > 400
    watch(bench)
    run(bench, 10)
    ((_, payload),) = bench.say(frames.LOOK)
    assert payload[:8] == u32(5010) + u32(0)
    assert len(payload) == 8 + RECORD


def test_records_for_which_the_ring_had_no_room_are_counted():
    bench, _ = watched()
    run(bench, 250)
    ((_, payload),) = bench.say(frames.LOOK)
    assert payload[4:8] == u32(25 + 2 - 16)
    assert len(payload) == 8 + 16 * RECORD


def test_questions_are_answered_while_it_plays():
    bench, _ = watched()
    assert ask(bench, frames.WINDOWS, 0)[0][1][3:] == i32(0) + i32(14000) + i32(-2500)
    assert ask(bench, frames.SENSED, 0)[0][1][3:] == i32(48000) + i32(5000) + i32(0)


def test_faults_are_told_one_by_one():
    bench, _ = watched()
    bench.machine.alone.play.faults.report("coil_open", 4, 2)
    assert ask(bench, frames.FAULTS, 0) == [(frames.ENTRY, b"\0\0\1\0" + u32(4) + u32(2) + b"coil_open")]
    assert ask(bench, frames.FAULTS, 1) == [(frames.ENTRY, b"\1\0\1\0")]


def test_nothing_that_changes_a_machine_is_taken_from_whoever_watches():
    for kind, payload in (
        (frames.CONTACT, CONTACT),
        (frames.ADVANCE, u32(10)),
        (frames.START, b"\1" + u32(1)),
        (frames.SETTING, b"\0" + u32(1)),
        (frames.FINISH, b""),
        (frames.ALIVE, b""),
    ):
        bench, _ = watched()
        alone = bench.machine.alone
        assert kinds(bench.say(kind, payload)) == [frames.FAULT]
        assert bench.machine.alone is alone
        assert alone.trace.count == 0
        assert bench.machine.outputs.did == []
        assert bench.say(frames.LOOK) == []


def test_a_damaged_frame_ends_the_watching_and_the_machine_plays_on():
    bench, _ = watched()
    assert kinds(bench.put(b"\5junk\0")) == [frames.FAULT]
    assert bench.machine.alone
    assert kinds(watch(bench)) == [frames.WELCOME]


def test_a_host_that_does_not_read_ends_the_watching_and_nothing_else():
    def full(_data, _end):
        raise OSError("the host does not read")

    for wire in (b"\5junk\0", None):
        bench, _ = watched()
        bench.device._out._write = full
        bench.put(wire or bench.wire(frames.LOOK))
        bench.device._out._write = bench.hear
        assert bench.say(frames.LOOK) == []
        assert bench.machine.alone


def test_stop_ends_the_watching_alone():
    bench, _ = watched()
    assert bench.say(frames.STOP) == []
    assert bench.machine.alone
    assert bench.say(frames.LOOK) == []


def test_a_host_that_takes_over_ends_what_plays_and_the_watching():
    bench, _ = watched()
    bench.hello()
    assert bench.machine.alone is None
    faulted(bench, bench.say(frames.LOOK), "does not belong here")
    watch(bench)
    assert "nothing plays by itself" in bench.words


def test_a_run_of_a_host_is_not_watched():
    bench = Bench()
    bench.start()
    faulted(bench, bench.say(frames.WATCH, NONCE, PROTOCOL), "type 10")


# What is asked, of a real console -----------------------------------------------------------------


def asked(console, what, now=0):
    return [facts.number(console, what, at, (), now) for at in range(facts.count(console, what, ()))]


def test_switches_lamps_texts_states_and_scores_are_those_of_the_console():
    console = Console(game)
    console.run_to(100)
    console.contact(3, 1)
    console.run_to(400)
    assert asked(console, frames.SWITCHES) == [1 if at == 3 else 0 for at in range(len(console.switch_names))]
    assert asked(console, frames.LAMPS) == list(console.play.lamps.shown)
    assert max(asked(console, frames.LAMPS)) > 0
    texts = asked(console, frames.TEXTS)
    assert len(texts) % 2 == 0
    assert texts[0] >= 0
    assert asked(console, frames.STATES) == list(console.engine.leaf[: console.table.charts])
    assert asked(console, frames.SCORES)[:4] == [1, 0, 0, 0]
    assert asked(console, frames.SETTINGS) == [each.value for each in console.settings.all]


def test_heat_goes_up_with_a_pulse_and_down_with_time_and_asking_leaves_it():
    console = Console(game)
    console.run_to(20000)
    limiter = console.coils.limiter
    coil = next(at for at in range(limiter.state[c.COILS]) if limiter.state[c.HEAD + at * c.COIL + c.BUDGET])
    before = asked(console, frames.HEAT, console.timers.now)[coil]
    assert not limiter.fire(coil, 20, console.timers.now)
    state = list(limiter.state)
    assert asked(console, frames.COILS)[coil] == c.PULSED
    hot = asked(console, frames.HEAT, console.timers.now)[coil]
    assert hot > before
    assert asked(console, frames.HEAT, console.timers.now + 60000)[coil] < hot
    assert list(limiter.state) == state


def test_heat_is_at_most_all_that_a_coil_bears():
    console = Console(game)
    console.run_to(1)
    assert all(0 <= each <= 1000 for each in asked(console, frames.HEAT, console.timers.now))
    assert max(asked(console, frames.HEAT, console.timers.now)) in (499, 500)


# Contacts in real time ---------------------------------------------------------------------------


class Live(Beats):
    """Its coils could fire while `reason` says so."""

    reason = ""
    settled = True

    def is_settled(self):
        return self.settled

    def contacts_refused(self):
        return self.reason


def live(reason=""):
    bench = Bench()
    bench.machine = Live()
    bench.machine.reason = reason
    bench.device._machine = bench.machine
    bench.start(frames.REAL_TIME)
    bench.turn(1)
    return bench


HOT = "the coil bus has 48 V"


def test_a_contact_is_refused_in_real_time_while_coils_could_fire():
    bench = live(HOT)
    console = bench.device.live()
    faulted(bench, bench.say(frames.CONTACT, CONTACT), HOT)
    assert bench.machine.outputs.did[-1] == HOT
    assert console.trace.count == 0


def test_a_contact_is_taken_in_real_time_while_none_could():
    bench = live()
    console = bench.device.live()
    assert bench.say(frames.CONTACT, CONTACT) == []
    assert console.trace.count == 1


def test_a_run_with_contacts_from_outside_ends_when_coils_could_fire():
    bench = live()
    bench.say(frames.CONTACT, CONTACT)
    assert kinds(bench.turn(3)) == [frames.RECORDS]
    bench.machine.reason = HOT
    faulted(bench, bench.turn(1), HOT)
    assert bench.machine.outputs.did[-1] == HOT


def test_a_run_without_contacts_from_outside_goes_on():
    bench = live()
    bench.machine.reason = HOT
    assert frames.FAULT not in kinds(bench.turn(20))
    assert bench.device.live()


def test_the_next_run_begins_without_contacts_from_outside():
    bench = live()
    bench.say(frames.CONTACT, CONTACT)
    bench.say(frames.FINISH)
    bench.machine.reason = HOT
    bench.say(frames.START, b"\1" + u32(1))
    assert frames.FAULT not in kinds(bench.turn(5))


def test_in_lock_step_contacts_are_taken_whatever_the_bus_has():
    bench = Bench()
    bench.machine = Live()
    bench.machine.reason = HOT
    bench.device._machine = bench.machine
    bench.start()
    assert bench.say(frames.CONTACT, CONTACT) == []


def test_a_run_in_real_time_begins_when_the_board_knows_its_switches():
    bench = Bench()
    bench.machine = Live()
    bench.machine.settled = False
    bench.device._machine = bench.machine
    assert bench.start(frames.REAL_TIME) == []
    assert bench.turn(30) == []
    assert bench.machine.outputs.did == []
    bench.machine.settled = True
    assert kinds(bench.turn(1)) == [frames.STARTED]
    assert bench.machine.outputs.did == ["enable"]
