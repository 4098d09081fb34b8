"""`inlane add`: a device more is a line of the machine file, its tables and its rule class, or nothing."""

import shutil
import sys

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from hil import games
from hil.checks.build import all_findings
from hil.command import app
from hil.machine import writing
from hil.machine.editing import free, made_of, with_line
from hil.machine.expanding import FILE, expand

OWN = "game_to_add_to"


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A copy of the kit room as a game of one's own."""
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    folder = tmp_path / OWN
    shutil.copytree(games.BUILT_IN / "kit_room", folder, ignore=shutil.ignore_patterns("__pycache__"))
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", OWN))
    yield folder
    for module in [module for module in sys.modules if module.split(".")[0] == OWN]:
        del sys.modules[module]


def add(folder, *words):
    return CliRunner().invoke(app, ["add", *words, "--to", str(folder)], standalone_mode=False)


def everything(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_saucer_has_its_wires_its_lamp_and_its_rule_class(own):
    result = add(own, "saucer", "pond", "--at", "2,8", "--drive", "11")
    assert result.return_value == 0, result.output
    assert (
        'hole("pond", at=(2, 8), coil=Coil(11, SMALL), lamp=Lamp("white", (2, 1))),'
        in (own / FILE).read_text()
    )
    made, errors = expand(own / FILE, FILE)
    assert errors == []
    assert writing.stale(own, made) == []
    assert [str(finding) for finding in all_findings(str(own)) if finding.fatal] == []
    names = [feature.name for feature in games.load(str(own)).console().play.features]
    assert names[:2] == ["hole_shots", "pond"]


def test_every_kind_of_device_fits_one_after_another(own):
    for words in (
        ("lock", "vault", "--n", "3"),
        ("bank", "buoy", "--n", "4", "--lamp", "red"),
        ("drops", "gate", "--n", "3"),
        ("drops", "fence", "--n", "1", "--reset", "gate"),
        ("lanes", "top"),
        ("spinner", "reel"),
        ("bumpers", "reeds", "--n", "2"),
        ("ramp", "bridge", "--end", "bench.left"),
        ("orbit", "outer"),
    ):
        result = add(own, *words)
        assert result.return_value == 0, (words, result.output)
    assert [str(finding) for finding in all_findings(str(own)) if finding.fatal] == []
    features = {feature.name for feature in games.load(str(own)).console().play.features}
    assert {"vault", "bridge_ramp", "outer"} <= features


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("saucer", "vice"), "switch 'vice' is there already"),
        (("saucer", "cup", "--at", "2,7"), "switch 'cup' has row 2, column 7, which 'lane'"),
        (("saucer", "cup", "--drive", "9"), "coil 'cup_eject' has drive 9, which 'knocker'"),
        (("drops", "gate", "--reset", "vise"), "reset names 'vise', which no line of the machine gives"),
        (("bank", "buoy", "--n", "30"), "targets has the n 30; it takes a whole number, 1 to 24"),
        (("bank", "Buoy"), "targets has the name 'Buoy'"),
        (("bank", "buoy", "--lamp", "grene"), "did you mean 'green'?"),
    ],
)
def test_a_line_that_does_not_fit_changes_nothing(own, words, said):
    before = everything(own)
    result = add(own, *words)
    assert result.return_value == 2
    assert said in result.output
    assert "nothing was changed" in result.output
    assert everything(own) == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("saucer", "cup", "--at", "28"), "--at '28' is no place; it takes row,column such as 2,8"),
        (("saucer", "cup", "--winding", "SMAL"), "has no winding 'SMAL'; did you mean 'SMALL'?"),
        (("bumpers", "reeds", "--n", "23"), "no 23 drives in a row are free among 24; give --drive"),
    ],
)
def test_a_wrong_option_changes_nothing(own, words, said):
    before = everything(own)
    with pytest.raises(UsageError, match=said.replace("?", r"\?").replace("(", r"\(")):
        CliRunner().invoke(
            app, ["add", *words, "--to", str(own)], standalone_mode=False, catch_exceptions=False
        )
    assert everything(own) == before


def test_free_wires_are_the_first_that_follow_each_other(machine):
    made = machine.tables('targets("spot", at=(1, 2)),', 'coil("spare", Coil(4)),')
    found = free(made)
    assert (found.switch(1), found.switch(2)) == ((1, 1), (1, 3))
    assert (found.drive(1), found.drive(2)) == (3, 5)
    assert found.lamp(3) == (1, 1)


def test_a_line_goes_to_the_end_of_the_machine():
    text = "A = 1\nMACHINE = (\n    one(),\n)\nB = 2\n"
    assert with_line(text, "    two(),") == "A = 1\nMACHINE = (\n    one(),\n    two(),\n)\nB = 2\n"


def test_complaints_about_a_text_name_the_shown_file():
    made, errors = made_of("MACHINE = (lane(),)\n", "mine/host/machine.py")
    assert made is None
    assert str(errors[0]).startswith("mine/host/machine.py:1: there is no kind of line 'lane'")
