"""An invented old machine's harness becomes a starter game that is played, and sheets for its wires."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from firmware.cabinet.trough import Trough
from hil import games
from hil.authoring.starter.begin import first_rules
from hil.authoring.starter.devices import of_machine
from hil.bench.outcome import FAIL, PASS
from hil.checks.build import all_findings
from hil.checks.coils import coil_findings
from hil.command import app
from hil.command.at_desk import DeskSetup
from hil.command.demands import ball_routes
from hil.command.new import make_from_harness, new
from hil.command.play import play_script
from hil.command.replay import Bench, find_scripts
from hil.electrical.harness import reading
from hil.machine.editing import made_of
from hil.machine.from_harness.text import text as from_harness

PIER = Path(__file__).parent / "pier.csv"
QUAY = """kind,name,row,column,volts,current,ohms,mh,gauge,winding,diode,common,fuse
switch,Top lane 1,1,1,,,,,,,to column,,
switch,Top lane 2,1,2,,,,,,,to column,,
switch,Left sling,2,1,,,,,,,to column,,
switch,Right sling,2,2,,,,,,,to column,,
switch,Outhole,2,3,,,,,,,to column,,
switch,Shooter lane,2,4,,,,,,,to column,,
coil,Outhole,,,34,unsmoothed,6,30,25,dc,to supply,plus,1 slow
coil,Right sling,,,34,unsmoothed,6,30,25,dc,to supply,plus,1 slow
coil,Left sling,,,34,unsmoothed,6,30,25,dc,to supply,plus,1 slow
flipper,Left,,,34,unsmoothed,3,15,23,single,to supply,plus,1.6 slow
flipper,Right,,,34,unsmoothed,3,15,23,single,to supply,plus,1.6 slow
"""
needs_places = pytest.mark.skipif(
    not hasattr(Trough, "jam_switch"), reason="the kit's trough needs a jam place, which this machine lacks"
)


def test_each_bank_and_row_of_lanes_gets_a_small_rule():
    text, _findings = from_harness(reading.read(PIER), "Pier")
    made, errors = made_of(text, "host/machine.py")
    assert errors == []
    found = of_machine(text, made)
    assert [(group.kind, group.name) for group in found.groups] == [
        ("lanes", "gangway_lane"),
        ("targets", "pier_target"),
        ("drops", "crane_drop"),
    ]
    rules = first_rules(found, found.groups)
    assert rules.count("\nkind bank\n") == 2
    assert "300 for bumper" in rules
    assert "2,000 for outlane" in rules
    assert "100 for windlass_spinner" in rules


@pytest.fixture(scope="module")
def pier(tmp_path_factory):
    """The folder of the game that the harness makes."""
    folder = tmp_path_factory.mktemp("harness") / "pier"
    assert make_from_harness(folder, PIER, {"balls": 5}) == PASS
    return folder


@needs_places
def test_the_game_fits_and_its_scripts_pass(pier):
    found = all_findings(str(pier), (coil_findings,), (ball_routes,))
    assert [str(finding) for finding in found if finding.fatal] == []
    game = games.load(str(pier))
    with Bench("desk") as bench:
        codes = [bench.run(bench.read(path, game), game).code for path in find_scripts([str(game.scripts)])]
    assert len(codes) >= 15
    assert set(codes) == {PASS}


@needs_places
def test_it_plays_at_the_desk_and_has_its_sheets(pier, tmp_path):
    picture = tmp_path / "desk.png"
    script = pier / "scripts" / "all_pier_targets_made.play"
    assert play_script(DeskSetup(games.load(str(pier))), script, picture, None) == 0
    assert picture.stat().st_size > 10_000
    sheets = tmp_path / "sheets"
    ran = CliRunner().invoke(app, ["wiring", str(pier), "--out", str(sheets)])
    assert ran.exception is None, ran.output
    assert "pier_target.1" in "".join(path.read_text() for path in sheets.rglob("*.md"))


@pytest.fixture(scope="module")
def by_hand(tmp_path_factory):
    """The folder of a game whose machine has slings, no plunger coil and an unsmoothed supply."""
    folder = tmp_path_factory.mktemp("harness") / "quay"
    csv = folder.parent / "quay.csv"
    csv.write_text(QUAY)
    assert make_from_harness(folder, csv, {"balls": 3}) == FAIL  # its supply and coils are refused
    return folder


def test_a_machine_whose_plunger_is_pulled_by_hand_plays_its_scripts(by_hand):
    game = games.load(str(by_hand))
    with Bench("desk") as bench:
        codes = [bench.run(bench.read(path, game), game).code for path in find_scripts([str(game.scripts)])]
    assert len(codes) >= 5
    assert set(codes) == {PASS}


def test_a_supply_that_is_refused_stands_on_the_sheets(by_hand, tmp_path):
    found = all_findings(str(by_hand), (coil_findings,), (ball_routes,))
    fatal = [finding for finding in found if finding.fatal]
    assert ["unsmoothed" in finding.text for finding in fatal] == [True]
    ran = CliRunner().invoke(
        app, ["wiring", str(by_hand), "--out", str(tmp_path / "sheets")], standalone_mode=False
    )
    assert ran.return_value == 1, ran.output
    top = (tmp_path / "sheets/wiring.md").read_text().partition("## Colours")[0]
    assert "> - the supply of 34 V RMS, rectified and unsmoothed" in top


def test_other_devices_beside_a_harness_are_refused(tmp_path):
    with pytest.raises(UsageError, match="--harness tells the devices"):
        new(tmp_path / "pier", bank=3, harness=PIER)
    assert not (tmp_path / "pier").exists()
