"""The operator's pages: when they open, what they cost, what they may move."""

import gc
import sys

from firmware.base import crash
from firmware.base.trace import EDGE, EVENT
from firmware.board import Board
from firmware.console import Console
from firmware.games.honey_flow import game
from firmware.games.honey_flow.service import ANSWERS, EACH, PRESETS
from firmware.operator.service_page import number, pieces, spread, width
from firmware.operator.wires import coded, colours, place
from firmware.play.pages import CELLS, ROW

PLAIN = 127


class Machine(Board):
    """A console moved by names; it notes what its coils did."""

    def __init__(self):
        self.fired = []
        self.enabled = []
        self.console = Console(game, self)

    def enable(self, on):
        self.enabled.append(on)

    def pulse(self, coil, ms):
        self.fired.append((self.console.coil_names[coil], ms))

    def hold(self, coil):
        self.fired.append((self.console.coil_names[coil], -1))

    def switch(self, name, closed):
        self.console.contact(self.console.switch_names.index(name), closed)
        self.wait(250)

    def tap(self, *names):
        for name in names:
            self.switch(name, 1)
            self.switch(name, 0)

    def wait(self, ms):
        self.console.run_to(self.console.now + ms)

    def line(self, line):
        cells = self.console.pad.screen.cells[line * ROW : line * ROW + CELLS]
        return "".join([chr(cell & PLAIN) for cell in cells]).strip()


def loaded():
    return sorted([name for name in sys.modules if name.startswith("firmware.operator")])


def at(*path):
    """A machine with the door open and the key on, after these buttons."""
    machine = Machine()
    machine.wait(1500)
    machine.switch("door", 1)
    machine.switch("service_key", 1)
    machine.tap("pad.open", *["pad." + button for button in path])
    return machine


COILS = ("more", "open", "more", "more", "more", "open")


def test_the_pages_are_not_loaded_until_they_are_used():
    kept = loaded()
    for name in kept:  # what this file itself imported
        del sys.modules[name]
    machine = Machine()
    machine.wait(1500)
    assert loaded() == []
    machine.switch("door", 1)
    machine.tap("pad.open")
    assert machine.line(1) == "> FAULTS"
    machine.tap("pad.open")
    machine.tap("pad.leave", "pad.leave")
    assert not machine.console.pad.is_open()
    assert "firmware.operator.fault_page" in loaded()
    assert "firmware.operator.coil_page" not in loaded()


def test_leaving_the_pages_gives_their_memory_back():
    if not hasattr(gc, "mem_alloc"):
        return
    machine = Machine()
    machine.wait(1500)
    machine.switch("door", 1)
    for _ in range(2):
        machine.tap("pad.open", "pad.more", "pad.open", "pad.open")
        machine.tap("pad.leave", "pad.leave", "pad.leave")
    gc.collect()
    before = gc.mem_alloc()
    for _ in range(20):
        machine.tap("pad.open", "pad.more", "pad.open", "pad.open")
        machine.tap("pad.leave", "pad.leave", "pad.leave")
    gc.collect()
    assert gc.mem_alloc() - before < 512, gc.mem_alloc() - before


def test_the_walk_through_every_page_leaves_no_coil_on_and_no_lamp_to_the_pages():
    machine = at()
    for _ in range(8):
        machine.tap("pad.open", "pad.more", "pad.less", "pad.leave", "pad.more")
    machine.tap("pad.more", "pad.open")
    for _ in range(10):
        machine.tap("pad.open", "pad.more", "pad.less", "pad.open", "pad.leave", "pad.leave")
        if machine.line(0)[:9] != "TRY PARTS":
            machine.tap("pad.open")
        machine.tap("pad.more")
    machine.switch("door", 0)
    assert not machine.console.pad.is_open()
    assert machine.console.coils.is_idle()
    assert machine.console.play.lamps.override is None


def test_a_coil_needs_door_and_key_at_each_pulse():
    machine = at(*COILS)
    machine.tap("pad.open", "pad.open")
    assert machine.fired == [("trough_eject", 30)]
    machine.switch("service_key", 0)
    machine.tap("pad.open")
    assert len(machine.fired) == 1
    machine.switch("service_key", 1)
    machine.switch("door", 0)
    machine.tap("pad.open")
    assert len(machine.fired) == 1


def test_a_motor_stops_when_the_key_is_turned_off_or_the_door_is_shut():
    for stop in ("service_key", "door"):
        machine = at("more", "open", "less", "less", "less", "open", "open")
        assert machine.fired == [("wheel_motor", -1)]
        assert not machine.console.coils.is_idle()
        machine.switch(stop, 0)
        assert machine.console.coils.is_idle()


def test_safe_mode_takes_the_coil_supply_away():
    machine = Machine()
    machine.switch("pad.open", 1)
    assert machine.enabled == [False]
    assert machine.console.pad.safe
    machine.switch("pad.open", 0)
    machine.tap("start", "tilt", "coin.1")
    machine.wait(5000)
    assert machine.fired == []


def ended(machine):
    """What ended the program of a machine before: an error after a coin and a start."""
    memory = bytearray(crash.SIZE)
    console = machine.console
    trace = type(console.trace)(8)
    trace.note_in(crash.box(memory))
    trace.now = 61_005
    trace.note(EDGE, console.switch_names.index("coin.1"), 1)
    trace.note(EVENT, console.switch_names.index("start"), 0)
    crash.write(memory, crash.PROGRAM, "an error in the program: ValueError: told to, at x.py:3 in pay", [])
    return crash.read(memory)


def test_after_an_error_no_game_starts_until_it_is_acknowledged_behind_the_door():
    machine = Machine()
    machine.wait(1500)
    told = []
    console = machine.console
    console.pad.require_acknowledgement(ended(machine), lambda: told.append("read"))
    assert (machine.line(0), machine.line(1)) == ("ENDED BY ERROR", "OPEN COIN DOOR")
    machine.tap("coin.1", "coin.1", "start")
    machine.wait(3000)
    assert machine.fired == []
    assert not console.play.players
    assert machine.line(0) == "ENDED BY ERROR"
    machine.tap("pad.open")
    assert machine.line(0) == "DOOR IS SHUT"
    machine.wait(3500)
    assert machine.line(0) == "ENDED BY ERROR"
    machine.switch("door", 1)
    machine.tap("pad.open")
    assert (machine.line(0), machine.line(1)) == ("AN ERROR IN THE", "OPEN: IT IS READ")
    machine.tap("pad.open")
    assert machine.line(1) == "OPEN AGAIN: YES"
    assert told == []
    machine.tap("pad.open")
    assert told == ["read"]
    machine.tap("pad.open", "pad.leave", "pad.leave")
    assert told == ["read"]
    machine.switch("door", 0)
    assert not console.pad.coils_blocked
    machine.tap("coin.1", "coin.1", "start")
    machine.wait(3000)
    assert machine.fired


def test_leaving_its_page_without_a_second_press_acknowledges_nothing():
    machine = Machine()
    machine.wait(1500)
    told = []
    machine.console.pad.require_acknowledgement(ended(machine), lambda: told.append("read"))
    machine.switch("door", 1)
    machine.tap("pad.open", "pad.open", "pad.leave", "pad.leave", "pad.leave")
    machine.switch("door", 0)
    assert (told, machine.line(0), machine.console.pad.coils_blocked) == ([], "ENDED BY ERROR", True)


def test_the_page_of_the_last_error_has_the_events_before_it_and_stays_after_it_was_read():
    machine = at("less", "open")
    assert machine.line(0) == "NO ERROR"
    machine.tap("pad.open", "pad.leave")
    machine.console.pad.ended = ended(machine)
    machine.tap("pad.open")
    assert machine.line(1) == "WAS READ"
    machine.tap("pad.more")
    assert (machine.line(0), machine.line(1)) == ("EVENT START", "1 AT 61005 S")
    machine.tap("pad.more")
    assert (machine.line(0), machine.line(1)) == ("COIN1 CLOSED", "2 AT 61005 S")


def test_the_fault_page_says_how_the_program_ended():
    machine = at()
    machine.console.play.faults.report("program_ended", crash.MEMORY)
    machine.tap("pad.open")
    shown = []
    for _ in range(4):
        shown.append(machine.line(0))
        machine.wait(1600)
    assert shown[:3] == ["THE PROGRAM", "ENDED: THE", "MEMORY RAN OUT"]


def test_a_game_may_do_without_pad_and_service():
    class Bare:
        SWITCHES = tuple([row for row in game.WIRING.SWITCHES if not row[0].startswith("pad.")])
        LAMPS, COILS, REFLEXES = game.WIRING.LAMPS, game.WIRING.COILS, game.WIRING.REFLEXES
        FLIPPERS, SEARCH = game.WIRING.FLIPPERS, game.WIRING.SEARCH
        TROUGH, BALLS = game.WIRING.TROUGH, game.WIRING.BALLS

    class Plainer:
        NAME, TITLE, FEATURES = game.NAME, game.TITLE, game.FEATURES
        SAVERS, SETTINGS, WIRING = game.SAVERS, game.SETTINGS, Bare

    console = Console(Plainer)
    console.run_to(2000)
    assert not console.pad.is_open()
    assert console.pad.service()[5:] == ((), ())


def test_every_preset_has_a_value_in_range_for_the_same_settings():
    settings = Console(game).settings
    names = [row[0] for row in EACH]
    assert len(set(names)) == len(names)
    for _preset, rows in PRESETS:
        assert [row[0] for row in rows] == names
        for name, n in rows:
            settings.set_by_name(name, n)


def test_the_even_preset_is_what_a_machine_is_shipped_with():
    settings = Console(game).settings
    for name, n in PRESETS[1][1]:
        assert settings.get(name).default == n, name


def test_answers_name_coils_and_switches_that_are_wired():
    coils = [row[0] for row in game.WIRING.COILS]
    switches = [row[0] for row in game.WIRING.SWITCHES]
    for coil, switch, _closes in ANSWERS:
        assert coil in coils, coil
        assert switch in switches, switch


def test_no_two_wires_look_alike_and_none_like_the_earth():
    seen = {}
    for row in range(1, 9):
        assert colours(row, 1) not in seen.values()
        seen[("row", row)] = coded("WH", row)
        seen[("column", row)] = coded("GY", row)
    for n in range(1, 17):
        seen[("direct", n)] = colours(0, n)
    looks = sorted(seen.values())
    assert len(set(looks)) == len(looks) == 32
    assert not [look for look in looks if "GN" in look or "YE" in look]
    assert colours(3, 2) == "WHOG AND GYRD"
    assert place(0, 5, "CHAIN") == "CHAIN 5"
    assert (place(3, 2), place(0, 16)) == ("ROW 3 COLUMN 2", "DIRECT INPUT 16")


def test_texts_are_cut_into_pieces_that_fit():
    assert pieces("SHORT") == ["SHORT"]
    assert pieces("flipper.right.strong") == ["flipper.right", "strong"]
    for piece in pieces("balls in a game: how long a drained ball is given back; 0 never, 1,000,000 points"):
        assert width(piece) <= 16
    assert width("1,000,000 POINTS") == 14
    assert number(1234567) == "1,234,567"
    assert spread("A", "1/8") == "A            1/8"
