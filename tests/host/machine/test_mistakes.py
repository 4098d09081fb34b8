"""Every mistake in a machine file is a sentence: its line, what was given, what is allowed, the near miss."""

import pytest

from firmware.base.errors import GameError
from hil.machine.expanding import expand

FIRST = 6  # the line of the first line of MACHINE
SPOT = 'targets("spot", at=(1, 8)),'

MISTAKES = [
    ('target("spot", at=(1, 8)),', "there is no kind of line 'target'; did you mean 'targets'?"),
    ('targets("spot", att=(1, 8)),', "targets has no 'att'; did you mean 'at'?"),
    ('targets("spot"),', "targets needs 'at', (row, column), counted from 1, or a tuple of (row, column)"),
    ('targets("Spot", at=(1, 8)),', "targets has the name 'Spot'; it takes a name in small letters, digits"),
    (
        'targets("left-spot", at=(1, 8)),',
        "targets has the name 'left-spot'; it takes a name in small letters",
    ),
    (
        'targets("spot", 40, at=(1, 8)),',
        "targets has the n 40; it takes a whole number, 1 to 24, or a tuple of names",
    ),
    ('targets("spot", at=8),', "targets has the at 8; it takes (row, column), counted from 1"),
    ('targets("spot", 2, at=((1, 1), (1, 2), (1, 3))),', "targets has 3 places for 2"),
    (
        'targets("spot", at=(1, 8), lamps=Lamp("ambr", (1, 1))),',
        "Lamp has the colour 'ambr'; it takes one of",
    ),
    ('targets("spot", at=(1, 8), lamps=Lamp("ambr", (1, 1))),', "did you mean 'amber'?"),
    (
        'hole("cup", at=(1, 8), coil=Coil(11, SMAL)),',
        "there is no value 'SMAL' above this line; did you mean 'SMALL'?",
    ),
    ('hole("cup", at=(1, 8), coil=Col(11, SMALL)),', "there is no 'Col'; did you mean 'Coil'?"),
    ('hole("cup", at=(1, 8), coil=Coil(40, SMALL)),', "Coil has the drive 40; it takes a drive, 1 to 32"),
    ('hole("cup", at=(1, 8), coil=Coil(11, 6)),', "Coil has the winding 6; it takes a Winding(…)"),
    (
        'hole("cup", at=(1, 8), coil=Coil(11), to="lft"),',
        "hole has the to 'lft'; it takes one of left, right",
    ),
    ('targets("spot", at=(2, 3)),', "trough.1' has row 2, column 3, which 'spot' in line 6 has"),
    (
        'hole("cup", at=(1, 8), coil=Coil(2)),',
        "coil 'auto_plunger' has drive 2, which 'cup_eject' in line 6 has",
    ),
    ('lanes("trough.1", at=(1, 1)),', "switch 'trough.1' is there already, in line 6"),
    ('targets("spot", at=(17, 1)),', "switch 'spot' has the place 'row 17, column 1', which no board has"),
    ('drops("buoy", 3, at=(1, 1), reset="bouy"),', "reset names 'bouy', which no line of the machine gives"),
    ('kickback("guard", lane="outlane.left", coil=Coil(9)),', "lane names 'outlane.left', which no line"),
    ("flippers(strong=Coil(5)),", "flippers takes either 'hold' (two windings) or 'held' (one winding"),
    ('targets("spot", at=(1, 8), opto=12),', "opto is 12; it takes its supply as a text, such as '12 V'"),
    (
        'targets("spot", at=tuple((1, 8))),',
        "there is no 'tuple'; there are Supply, Winding, Load, Coil, Lamp, Touch",
    ),
    ('targets("spot", at=(1, 8), touch=Touch((1, 2))),', "(1, 2) has 2 values for 1"),
    (
        'chimes("chime", ("low", "high"), coil=Coil(10), cues=(("start", (("lwo", 180),)),)),',
        "cues strikes 'lwo'; did you mean 'low'?",
    ),
    ("targets(*SPOTS),", "'*SPOTS' is no plain value, and the file is read, not run"),
    ("trough(2, at=(3, 1), coil=Coil(9)),", "there is a trough or an outhole already; a machine has one"),
]


@pytest.mark.parametrize(("line", "said"), MISTAKES)
def test_a_mistake_is_told_with_its_line(machine, line, said):
    made, errors = machine.expand(line)
    assert made is None
    assert any(said in error for error in errors), errors
    assert all(int(error.partition(":")[0]) >= FIRST for error in errors), errors


def test_every_complaint_comes_at_once_in_the_order_of_lines(machine):
    wrong = [line for line, _said in MISTAKES[:4]]
    _made, errors = machine.expand(*wrong)
    assert [int(error.partition(":")[0]) for error in errors] == [
        6,
        7,
        7,
        8,
        9,
    ]  # the second is also without its place


def test_a_tunnel_to_a_hole_that_is_not_there_names_the_near_miss(machine):
    _made, errors = machine.expand(
        'hole("porch", at=(1, 1), coil=Coil(9)),', 'tunnel("cave", to="portch", at=(1, 2)),'
    )
    assert errors == ["7: to names 'portch', which no line of the machine gives; did you mean 'porch'?"]


@pytest.mark.parametrize(
    ("head", "said"),
    [
        (
            "import os\n",
            "1: 'import os' is no line of a machine file; it takes NAME = value and MACHINE = (…)",
        ),
        ("SMALL = Winding(6, mh=30, awg=25, fuse='1 slow')\n", "there is no SUPPLY = Supply(volts, ohms=…)"),
        ("SUPPLY = 36\nSMALL = 1\n", "SUPPLY is 36; it takes Supply(volts, ohms=…)"),
        ("SUPPLY = Supply(36, ohm=0.3)\nSMALL = 1\n", "Supply has no 'ohm'; did you mean 'ohms'?"),
        ("SMALL = 1\nSMALL = 2\n", "2: 'SMALL' is set twice"),
    ],
)
def test_a_mistake_above_the_lines(machine, head, said):
    balls = "trough(1, at=(2, 3), coil=Coil(1, SMALL)), shooter(at=(1, 1)),"
    _made, errors = machine.expand(SPOT, head=head, balls=balls)
    assert any(said in error for error in errors), errors


def test_a_file_without_a_machine_or_without_sense(tmp_path):
    path = tmp_path / "machine.py"
    path.write_text("A = 1\n")
    _made, errors = expand(path, "machine.py")
    assert errors[0].text == "there is no MACHINE = (…), the tuple of the machine's lines"
    path.write_text("A = (\n")
    with pytest.raises(GameError, match=r"machine.py:1: '\(' was never closed"):
        expand(path, "machine.py")
    with pytest.raises(GameError, match="No such file"):
        expand(tmp_path / "gone.py", "gone.py")


def test_a_winding_that_no_sum_bears_is_refused(machine):
    head = "SUPPLY = Supply(36, ohms=0.3)\nSMALL = Winding(6, mh=30, awg=25, fuse='1 slwo')\nTHROW = SMALL\n"
    _made, errors = machine.expand(SPOT, head=head)
    assert len(errors) == 1
    assert "1 slwo" in errors[0]
