"""The reference circuit's netlist: rules, what is made from it, and errors planted into it."""

import importlib.util
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

import boards
from boards.pico_matrix import pins
from firmware.base.errors import UsageError
from hil.command import app
from hil.electrical.circuit import kicad, runs, scales, skidl_rules, values, write
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.parts import NOWHERE, resistor
from hil.electrical.circuit.rules import broken
from hil.electrical.circuit.sheets import circuit
from hil.electrical.sums import on_time
from hil.electrical.worksheets import connections

STORED = Path(boards.__path__[0]) / "pico_matrix" / "drawings"


def _needs(package):
    """Skip without the package; not by importing it, for skidl writes logs where it is first imported."""
    if importlib.util.find_spec(package) is None:
        pytest.skip(f"there is no package '{package}'")


@pytest.fixture(scope="module")
def whole():
    return circuit()


def test_the_rules_find_nothing(whole):
    assert broken(whole) == []


@pytest.mark.slow
def test_skidl_finds_nothing(whole):
    _needs("skidl")
    assert skidl_rules.report(whole) == []


def test_skidl_finds_two_outputs_on_a_net(whole):
    _needs("skidl")
    guard = whole.select(lambda part: part.sheet == "guard")
    found = skidl_rules.report(guard.moved("U104", "Y", "/ENABLE"))
    assert any("Pin conflict on net /ENABLE" in line for line in found)


@pytest.mark.slow
def test_skidl_makes_the_same_nets(whole):
    _needs("skidl")
    assert _nets(skidl_rules.netlist(whole)) == {
        name: sorted(nodes) for name, nodes in whole.nets().items() if len(nodes) > 1
    }


def test_the_netlist_for_kicad_has_every_net_and_part_of_the_board(whole):
    board = whole.select(lambda part: not part.off_board)
    assert _nets(kicad.text(whole)) == {name: sorted(nodes) for name, nodes in board.nets().items()}


def _nets(text):
    _needs("simp_sexp")
    import simp_sexp

    found = {}
    for branch in simp_sexp.Sexp(text):
        if isinstance(branch, list) and branch[0] == "nets":
            for net in branch[1:]:
                rows = [dict([[row[0], row[1:]]]) for row in net[1:]]
                name = next(str(row["name"][0]) for row in rows if "name" in row)
                nodes = [{str(k): str(v) for k, v in map(_pair, r["node"])} for r in rows if "node" in r]
                found[name] = sorted((node["ref"], node["pin"]) for node in nodes)
    return {
        name: nodes
        for name, nodes in found.items()
        if len(nodes) > 1 or text.startswith('(export (version "E")')
    }


def _pair(entry):
    return entry[0], entry[1]


def test_stored_files_are_those_the_netlist_makes(whole):
    for name, text in {**write.texts(whole), **write.reports(whole)}.items():
        assert (STORED / name).read_text(encoding="utf-8") == text, name


@pytest.mark.slow
def test_without_any_part_or_net_the_stored_netlist_or_list_differs(whole):
    stored = {name: (STORED / name).read_text(encoding="utf-8") for name in (write.NETLIST, write.PARTS)}
    for mark, part in whole.parts.items():
        name = write.PARTS if part.off_board else write.NETLIST
        assert write.texts(whole.without(mark))[name] != stored[name], mark
    for net, nodes in whole.nets().items():
        if any(not whole[mark].off_board for mark, _pin in nodes):
            assert kicad.text(whole.without_net(net)) != stored[write.NETLIST], net


def test_the_connectors_are_those_of_the_work_sheets(whole):
    wires = [("drive", n, f"DRAIN_{n}") for n in range(1, pins.DRIVES + 1)]
    wires += [("held drive", n, f"DRAIN_{24 + n}") for n in (1, 2)]
    wires += [("switch row", n, f"ROW_{n}") for n in range(1, 9)]
    wires += [("switch column", n, f"COLUMN_WIRE_{n}") for n in range(1, 9)]
    wires += [("direct", n, f"DIRECT_{n}") for n in range(1, 17)]
    wires += [("lamp row", n, f"LAMP_ROW_WIRE_{n}") for n in range(1, 9)]
    wires += [("lamp column", n, f"LAMP_COLUMN_WIRE_{n}") for n in range(1, 9)]
    for what, number, net in wires:
        wire = connections.wire(what, number)
        assert whole[wire.connector].net(str(wire.pin)) == net
    for drive in range(1, 27):
        wire = connections.bus(drive)
        assert whole[wire.connector].net(str(wire.pin)) == f"COIL_{drive}+"


@pytest.mark.parametrize(
    ("pin", "into", "out", "expected"),
    [
        # As the firmware shifts: the first bit out ends at the far end (boards/pico_matrix/programs.py).
        ("DRIVE_IN", "SER", "QH'", [f"DRIVE_{n}" for n in range(1, 25)]),
        (
            "LAMP_IN",
            "SER",
            "QH'",
            [f"LAMP_ROW_{n}" for n in range(1, 9)] + [f"LAMP_COLUMN_{n}" for n in range(1, 9)],
        ),
        ("COLUMN_IN", "SER", "QH'", [f"COLUMN_{n}" for n in range(1, 9)]),
    ],
)
def test_the_output_chains_are_in_the_order_of_the_firmware(whole, pin, into, out, expected):
    found, net = [], pin
    while net not in (NOWHERE, "DRIVE_OUT"):
        chip = next((part for part, p in whole.on(net) if p.name == into), None)
        if chip is None:
            break
        found += [chip.net(f"Q{letter}") for letter in "ABCDEFGH"]
        net = chip.net(out)
    assert found == expected


def test_the_input_chain_is_in_the_order_of_the_firmware(whole):
    found, net = [], "SWITCH_DATA"
    while net != "0V":
        chip = next(part for part, p in whole.on(net) if p.name == "QH")
        found += [chip.net(letter) for letter in "HGFEDCBA"]
        net = chip.net("SER")
    rows = [f"ROW_IN_{n}" for n in range(8, 0, -1)] + [f"DIRECT_IN_{n}" for n in range(16, 0, -1)]
    assert found == rows + [f"BACK_{n}" for n in range(16, 0, -1)]


def _value(mark, size):
    return lambda c: c.changed(mark, size=size)


def _rating(mark, name, value):
    return lambda c: c.changed(mark, ratings={**c[mark].ratings, name: value})


def _enable_and_supply_in_one_package(c):
    nets = {pin.name: pin.net for pin in c["U101"].pins if pin.net}
    nets |= {"/2A": "0V", "2B": "FEED_B", "/2R": "CLEAR", "2Q": "RELAY_ON", "2CX": "CX_B", "2RX": "RX_B"}
    both = place("U101", "74HCT423", nets)
    return c.without("U102", "C104", "U101").added(both)


PLANTED = [
    # an error of one change, and words of the sentence that finds it
    ("supply pull-up on a 3.3 V pin", lambda c: c.moved("R605", "1", "5V"), "LAMP_BLANK reaches"),
    ("a source past the shunt", lambda c: c.moved("Q305", "S", "0V"), "past the current shunt"),
    (
        "coil 0 V joined to 0 V twice",
        lambda c: c.added(resistor("R299", 0.01, "COIL_0V", "0V")),
        "joined by R208, R299",
    ),
    ("a gate without pull-down", lambda c: c.without("R3072"), "gate of Q307 has no resistor"),
    ("a register's output that floats", lambda c: c.without("R3093"), "DRIVE_9 floats"),
    ("no pull-up on the enable", lambda c: c.without("R104"), "enable line has no pull-up"),
    ("both guards in a package", _enable_and_supply_in_one_package, "share U101"),
    (
        "a 123 for the 423",
        lambda c: c.changed("U101", value="74HCT123"),
        "74HCT123",
    ),
    ("a fuse for low volts", _rating("F303", "V", 32.0), "F303 is rated 32 V"),
    ("a main fuse that cannot break", _rating("F201", "breaks", 50.0), "F201 breaks 50 A"),
    ("a main fuse that pulses melt", _rating("F201", "bears", 100.0), "F201 may melt"),
    ("a coil without a fuse", lambda c: c.moved("L304", "1", "COIL_BUS"), "L304 has"),
    ("a relay that cannot break a coil", _rating("K1", "breaks", 10.0), "relay K1 is rated 10 A (breaks)"),
    ("a relay for less than all at once", _rating("K2", "peak", 20.0), "relay K2 is rated 20 A (peak)"),
    ("a pre-charge relay that breaks nothing", _rating("K3", "breaks", 0.0), "K3 breaks 0 A"),
    ("one relay", lambda c: c.without("K2").moved("K1", "14", "COIL_BUS"), "two relays in series"),
    ("a relay with a plain diode", lambda c: c.moved("D101", "K", "RELAY_12V"), "it opens late"),
    ("a zener at a held drive", lambda c: c.moved("D4251", "K", "5V"), "nothing would hold"),
    ("no clamp at a pulsed drive", lambda c: c.without("D3062"), "no way round"),
    ("a MOSFET of 60 V", _rating("Q308", "V", 60.0), "Q308 is rated 60 V"),
    ("a reservoir of 50 V", _rating("C201", "V", 50.0), "C201 is rated 50 V"),
    ("a door contact that is not wetted", lambda c: c.changed("R113", size=10e3), "too little to wet"),
    ("no decoupling", lambda c: c.without("C801"), "U801 has no decoupling"),
    ("no earth", lambda c: c.without("J202"), "bonded to protective earth"),
    ("no joint of 0 V and earth", lambda c: c.without("R215"), "not joined to protective earth"),
    ("a 5 V chip on 3.3 V", lambda c: c.moved("U801", "VCC", "3V3"), "wants 4.5 to 5.5 V"),
    ("a drive without read-back divider", lambda c: c.without("R3026"), "is not like channel"),
    ("an input without its clamp", lambda c: c.without("D5111"), "is not like channel"),
    ("two outputs on one net", lambda c: c.moved("U104", "Y", "/ENABLE"), "is driven by"),
    ("VBUS on the rail", lambda c: c.moved("A701", "VBUS", "5V"), "VBUS is on a net"),
    ("two Pico pins crossed", lambda c: c.moved("A701", "GP13", "GUARD_FEED"), "in the pin table"),
    ("no reset by the door", lambda c: c.moved("U102", "/1R", "5V"), "U102 is not reset by CLEAR"),
    ("no diode at the bus", lambda c: c.without("D202"), "current of coils when the relays open"),
    ("no diode at the relays' supply", lambda c: c.without("D104"), "when the door opens"),
    ("the read-back's lower resistor away", lambda c: c.without("R805"), "DRIVE_BACK reaches"),
]


@pytest.mark.sampled(8)
@pytest.mark.parametrize(("change", "words"), [row[1:] for row in PLANTED], ids=[row[0] for row in PLANTED])
def test_a_planted_error_is_found_by_the_rules(whole, change, words):
    found = broken(change(whole))
    assert any(words in sentence for sentence in found), found[:5]


def test_a_feed_beside_a_pin_that_toggles_is_found(whole, monkeypatch):
    swapped = {"interlock": pins.LAMP_BLANK, "lamp_blank": pins.INTERLOCK}
    monkeypatch.setattr(pins, "PINS", tuple((r[0], swapped.get(r[0], r[1]), *r[2:]) for r in pins.PINS))
    assert any("guard_feed lies beside lamp_blank" in sentence for sentence in broken(circuit()))


def test_door_relay_and_reset_times_follow_from_the_values():
    assert 0.005 <= values.door_wetting_amperes() <= 0.020
    pulled = values.LOGIC * values.DOOR_LOAD / (values.DOOR_LOAD + values.DOOR_SERIES)
    assert pulled * 0.95 > 2 * values.HCT_HIGH * 0.95
    assert runs.SUPPLY_OFF > 5 * runs.DRIVES_OFF


def test_the_rail_is_clamped_between_its_highest_supply_and_what_the_pico_bears():
    assert values.rail_clamp() * 0.98 + 0.01 > values.LOGIC * (1 + values.LOGIC_SPREAD)
    assert values.rail_clamp() * 1.02 < values.PICO_VSYS


def test_the_on_time_stage_passes_the_longest_pulse_of_its_class():
    for longest, ohms in on_time.CLASSES:
        assert values.on_time_seconds(ohms)[0] >= longest


def test_the_module_that_the_firmware_reads_is_what_the_netlist_gives(whole):
    assert (STORED.parent / scales.MODULE).read_text(encoding="utf-8") == scales.text(whole)


def test_the_command_writes_the_module_and_finds_one_that_is_another(tmp_path):
    run = CliRunner().invoke
    where = ["circuit", "--out", str(tmp_path)]
    assert run(app, [*where, "--check"], standalone_mode=False).return_value == 1
    run(app, where, standalone_mode=False)
    assert (tmp_path / scales.MODULE).read_bytes() == (STORED.parent / scales.MODULE).read_bytes()
    assert run(app, [*where, "--check"], standalone_mode=False).return_value == 0


def test_its_scales_and_thresholds_are_those_of_the_parts(whole):
    made = {}
    exec(scales.text(whole), made)  # what the command writes, and nothing else
    size = {mark: whole[mark].size for mark in ("R210", "R211", "R705", "R706", "R208", "R3016", "R3017")}
    assert made["COIL_FULL_MV"] == 3300 * (size["R210"] + size["R211"]) / size["R211"]
    assert made["LOGIC_FULL_MV"] == 3300 * (size["R705"] + size["R706"]) / size["R706"]
    assert made["FULL_MA"] == 3300 / (values.SHUNT_GAIN * size["R208"])
    high = values.INPUT_HIGH * values.PICO * (size["R3016"] + size["R3017"]) / size["R3017"]
    low = values.INPUT_LOW * values.PICO * (size["R3016"] + size["R3017"]) / size["R3017"]
    assert 1.5 * high <= made["JUDGED_MV"] / 1000
    for bus in (12, 24, 36, 48, 52.8, 60):
        assert bus * 0.8 >= made["JUDGED_MV"] / 1000
        assert bus / 2.5 * values.MOSFET_OHMS < low


def _each_read_back(circuit, place, ohms):
    for drive in range(1, 17):
        circuit = circuit.changed(f"R3{drive:02}{place}", size=ohms)
    return circuit


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda c: _each_read_back(c, 6, 1e6), "drains are high from 25.4 V on, to be judged from 39 V"),
        (
            lambda c: _each_read_back(c, 6, 100e3),
            "a drain that is on has 2.4 V at 60 V, and is low up to 2.0 V",
        ),
        (lambda c: c.changed("R3056", size=1e6), "drains are high from 25.4 V on"),
        (lambda c: c.without("R3057"), "0 resistors lie between BACK_5 and 0V"),
        (lambda c: c.without("R211"), "0 resistors lie between COIL_VOLTS and 0V"),
        (
            lambda c: c.added(resistor("R299", 1e3, "COIL_BUS", "COIL_VOLTS")),
            "2 resistors lie between COIL_BUS",
        ),
        (lambda c: c.changed("R210", size=1e6), "COIL_BUS has a full scale of 333,300"),
        (lambda c: c.select(lambda part: part.sheet in ("supply", "logic")), "reads no drain back"),
    ],
)
def test_a_circuit_that_the_code_cannot_judge_is_refused(whole, change, words):
    with pytest.raises(UsageError, match=re.escape(words)):
        scales.text(change(whole))


@pytest.mark.parametrize(("mark", "name"), [("R210", "COIL_FULL_MV"), ("R706", "LOGIC_FULL_MV")])
def test_a_changed_part_changes_the_module(whole, mark, name):
    changed = scales.text(whole.changed(mark, size=whole[mark].size * 1.1))
    assert f"{name} = " in changed
    assert changed != scales.text(whole)


def _figures(page):
    return (STORED.parent / page).read_text(encoding="utf-8")


def test_figures_in_prose_follow_from_the_values():
    from hil.electrical.sums.supply import Reservoir
    from hil.electrical.worksheets import bring_up

    guard, safety = _figures("guard.md"), _figures("../SAFETY.md")
    fast, slow, stage = values.guard_seconds(), values.supply_seconds(), values.on_time_seconds()
    assert f"{fast[0] * 1e3:.1f} to {fast[1] * 1e3:.1f} ms after the last feed edge" in guard
    assert f"{slow[0] * 1e3:.0f} to {slow[1] * 1e3:.0f} ms after the last feed edge" in guard
    assert f"{stage[0] * 1e3:.0f} to {stage[1] * 1e3:.0f} ms (class 60 ms)" in guard
    assert f"acts at {values.rail_clamp():.2f} V" in guard
    assert fast[1] < 0.009
    assert f"the relays' {runs.RELEASE * 1e3:.0f} ms" in guard
    ratings = (
        f"{values.RELAY_CARRIES:g} A, {values.RELAY_PEAK:g} A for 0.1 s, breaking {values.RELAY_BREAKS:g} A"
    )
    assert ratings in guard
    worst = Reservoir(values.COIL_SUPPLY, values.RESERVOIR).worst()
    assert f"up to {worst.joules:.0f} J at 48 V" in safety
    both, alone = (worst.seconds_to(10, ohms) for ohms in (values.BLEEDER, values.BLEEDER_EACH))
    assert f"10 V in {both:.0f} s, one of them alone in {alone:.0f} s" in safety
    watts = values.COIL_SUPPLY**2 / values.COIL_OHMS
    assert int(re.search(r"heater of more than (\d+) W", safety).group(1)) <= watts
    text = " ".join(step.text for step in bring_up.STEPS)
    off = 250 + fast[1] * 1e3
    assert off <= int(re.search(r"it must drop within (\d+) ms", text).group(1)) < off + 10
    relays = 250 + (slow[1] + runs.RELEASE) * 1e3
    assert relays <= int(re.search(r"supply relays within (\d+) ms", text).group(1)) < relays + 20
    assert fast[1] * 1e3 < int(re.search(r"goes high again within (\d+) ms", text).group(1))


def test_counts_in_prose_are_those_of_the_tests():
    guard = _figures("guard.md")
    assert f"each of {len(runs.GUARD_PARTS)} parts of the guard" in guard
    assert f"{len(PLANTED)} for the rules" in guard


def test_a_track_by_its_current_alone_melts_before_the_fuse():
    from hil.electrical.circuit import pages
    from hil.electrical.sums import fault, track

    amperes = values.high_volts() / values.COIL_OHMS
    alone = track.width_mm(values.COIL_FUSE_AMPERES)
    opens = pages.coil_fuse_squares() / amperes**2
    assert fault.melts_after(amperes, alone) < opens / 10
    assert fault.melts_after(amperes, fault.width_for(pages.coil_fuse_squares())) > opens


def test_the_widths_agree_with_onderdonk():
    """Two formulas from different sources: k of IEC 60364-5-54 to 1083 °C, and Onderdonk's, within 3 %."""
    from hil.electrical.sums import fault, heat

    width = 1.0
    squares = (heat.k_factor(40.0, 1083.0) * width * fault.OUNCE_MM) ** 2
    assert fault.melts_after(10.0, width) == pytest.approx(squares / 100.0, rel=0.03)
