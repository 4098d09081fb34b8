"""What single pages of the operator say: the fault log, versions, coils, the trough."""

import struct

from test_operator import Machine, at

from firmware.base.trace import CUE, FORMAT, RECORD, REFUSED
from firmware.devices.coil_limiter import NOT_ARMED
from firmware.operator.coil_moving import usual_pulse_ms
from firmware.operator.fault_page import clock
from firmware.operator.service_page import Confirmation
from firmware.play.pages import OPERATOR, ROW


def cues(machine, name):
    """How often a cue was played since the last call."""
    number = machine.console.play.cues.names.index(name)
    return len([1 for _, kind, ident, _ in taken(machine) if kind == CUE and ident == number])


def taken(machine):
    """The records since the last call: ms, kind, id, value."""
    trace = machine.console.trace
    records = bytearray(RECORD * 256)
    found = []
    while trace.held():
        for i in range(trace.take(records, 0, 256)):
            found.append(struct.unpack_from(FORMAT, records, i * RECORD))
    return found


def test_times_are_hours_minutes_and_seconds():
    assert clock(0) == "00:00:00"
    assert clock(59) == "00:00:59"
    assert clock(60) == "00:01:00"
    assert clock(3600 + 59 * 60 + 1) == "01:59:01"
    assert clock(36_000) == "10:00:00"


def test_the_fault_log_names_an_end_only_where_it_knows_one():
    for detail, words in ((0, "THE PROGRAM ENDED:"), (1, "THE PROGRAM")):
        machine = Machine()
        machine.wait(1500)
        machine.console.play.faults.report("program_ended", detail)
        machine.switch("door", 1)
        machine.tap("pad.open", "pad.open")
        if detail:
            assert machine.line(0).startswith(words)
        else:
            assert machine.line(0) == words[: len(machine.line(0))]


def test_the_hash_of_tables_follows_the_settings():
    shown = []
    for more in (0, 1):
        machine = Machine()
        machine.wait(1500)
        machine.console.play.settings.all[0].default += more
        machine.switch("door", 1)
        machine.tap("pad.open", *["pad.more"] * 7, "pad.open", "pad.more")
        assert machine.line(0) == "TABLES"
        shown.append(machine.line(1))
    assert shown[0] != shown[1]
    assert len(shown[0]) == 12


def test_a_coil_that_may_be_held_is_tried_for_fifty_milliseconds():
    rows = {row[0]: row for row in at().console.pad.service()[2]}
    assert usual_pulse_ms(rows["wheel_motor"]) == 50
    assert usual_pulse_ms(rows["trough_eject"]) == 30


def test_the_keeper_is_answered_by_its_switch_that_opens():
    machine = at("more", "open", "more", "more", "more", "open")
    names = [row[0] for row in machine.console.pad.service()[2]]
    machine.tap(*["pad.more"] * names.index("keeper_reset"), "pad.open")
    assert machine.line(0) == "KEEPER RESET"
    machine.switch("keeper", 1)
    machine.switch("pad.open", 1)
    machine.wait(1200)
    for _ in range(5):
        machine.wait(1250)
        machine.switch("keeper", 0)
        machine.switch("keeper", 1)
    machine.wait(3000)
    assert machine.line(1).endswith("OF 5 ANSWERED")
    assert machine.line(1)[0] in "345"


def test_a_ball_is_asked_for_once_until_it_came():
    machine = at("more", "open", *["more"] * 8, "open")
    assert machine.line(0).startswith("TROUGH")
    cues(machine, "pad_refused")
    machine.tap("pad.open")
    assert cues(machine, "pad_refused") == 0
    machine.tap("pad.open")
    assert cues(machine, "pad_refused") == 1
    assert [coil for coil, _ in machine.fired] == ["trough_eject"]


def test_a_coil_that_the_pad_refuses_was_refused_for_want_of_a_lease():
    machine = at("more")
    taken(machine)
    assert machine.console.pad.blocks_coil(3)
    assert [row[1:] for row in taken(machine)] == [(REFUSED, 3, NOT_ARMED)]


def test_a_coil_that_its_limits_refuse_is_shown_as_refused():
    machine = at("more", "open", *["more"] * 8, "open")
    assert machine.console.coils.fire(machine.console.coil_names.index("trough_eject"), 30)
    machine.switch("pad.open", 1)
    assert machine.line(1) == "REFUSED"


def test_a_question_that_nobody_asked_is_not_pending():
    assert not Confirmation().is_pending()


def test_a_coil_that_is_not_wired_is_shown_by_its_number():
    machine = Machine()
    machine.wait(1500)
    coils = len(machine.console.coil_names)
    machine.console.play.faults.report("coil_moved_nothing", coils)
    machine.switch("door", 1)
    machine.tap("pad.open", "pad.open")
    machine.wait(2000)
    assert str(coils) in machine.line(0) + machine.line(1)


def test_the_status_report_writes_the_balls_of_the_hive_in_column_eight():
    machine = at("more")
    page = machine.console.play.pages.page(OPERATOR)
    assert machine.console.play.find("hive_lock").report(page)
    assert [at for at in range(ROW) if page.cells[ROW + at] not in (0, 32)] == [8]


def test_values_are_set_back_by_the_names_of_their_features():
    machine = at(*["more"] * 6, "open")
    shown = []
    for _ in range(20):
        shown.append(machine.line(0))
        machine.tap("pad.more")
    assert "SET BACK HONEY" in shown, shown
