"""Contacts over the line in real time: only with an empty coil bus, or with the key as the scan reads it."""

from firmware.devices import scan
from firmware.devices.native import scanner
from firmware.devices.outside_contacts import EMPTY_MV, is_key_on, is_settled, refused
from firmware.games.kit_room import wiring

ROWS = wiring.SWITCHES
KEY = [row[0] for row in ROWS].index("service_key")


def turned(on, switch=KEY):
    """The scan's state with a switch that was read as closed."""
    state = scan.build(ROWS)
    contact = next(at for at in range(scanner.CONTACTS) if state[scanner.SWITCH + at] == switch)
    if on:
        state[scanner.STILL + contact // 16] |= 1 << contact % 16
    return state


def test_with_an_empty_bus_contacts_may_come():
    assert refused(0, turned(False), ROWS) == ""
    assert refused(EMPTY_MV - 1, turned(False), ROWS) == ""


def test_with_volts_on_the_bus_they_may_not_and_the_sentence_says_how_many():
    said = refused(EMPTY_MV, turned(False), ROWS)
    assert "the coil bus has 5 V" in said
    assert "service key" in said
    assert "the coil bus has 48 V" in refused(48_300, turned(False), ROWS)


def test_with_the_key_turned_on_they_may_whatever_the_bus_has():
    assert refused(48_000, turned(True), ROWS) == ""


def test_another_switch_is_no_key():
    for switch in range(len(ROWS)):
        assert is_key_on(turned(True, switch), ROWS) == (switch == KEY)


def test_a_machine_without_a_key_has_its_bus_to_be_empty():
    rows = tuple([row for row in ROWS if row[0] != "service_key"])
    state = scan.build(rows)
    for group in range(5):
        state[scanner.STILL + group] = 0xFFFF
    assert refused(48_000, state, rows)
    assert refused(0, state, rows) == ""


def test_the_scan_knows_the_key_once_it_is_primed_and_the_key_debounced():
    state = turned(False)
    assert not is_settled(state, ROWS)
    state[scanner.PRIMED] = scanner.PRIMING
    assert is_settled(state, ROWS)
    contact = next(at for at in range(scanner.CONTACTS) if state[scanner.SWITCH + at] == KEY)
    state[scanner.PENDING + contact // 16] |= 1 << contact % 16
    assert not is_settled(state, ROWS)
