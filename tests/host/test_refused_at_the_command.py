"""What could burn or hurt is refused by the command a user types, in one sentence."""

import shutil
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from boards.pico_matrix import pins
from firmware.base.errors import GameError, LinkError
from hil import games
from hil.bench.targets.linked import LinkTarget
from hil.build.prompt import Prompt
from hil.command import app
from hil.command import main as command_line


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A copy of Honey Flow as a game of one's own, its tables by hand: change(file, old, new) alters it."""
    folder = tmp_path / "own_apiary"
    shutil.copytree(games.BUILT_IN / "honey_flow", folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "host/machine.py").unlink()
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.honey_flow", folder.name))
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    for name in [name for name in sys.modules if name.startswith(folder.name)]:
        monkeypatch.delitem(sys.modules, name)
    return folder


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    path.write_text(text.replace(old, new))


def refused(*arguments):
    """The refusals of `inlane check` for a game that cannot be used: exit code 2."""
    return verdict(2, "the game cannot be used", arguments)


def not_energised(*arguments):
    """The refusals of `inlane check` for a game that plays and may not be energised: exit code 1."""
    return verdict(1, " may not be energised: ", arguments)


def forget(folder):
    """Have the game's modules imported anew."""
    for name in [name for name in sys.modules if name.startswith(folder.name)]:
        del sys.modules[name]


def verdict(code, words, arguments):
    result = CliRunner().invoke(app, ["check", *arguments, "--games", "0"], standalone_mode=False)
    assert result.return_value == code, result.output
    lines = result.output.splitlines()
    assert [line for line in lines if words in line], lines
    quiet = ("stack: ", "heap: ", "fit to play", words, ": note: ", ": warning: ")
    return [line for line in lines if not any(one in line for one in quiet)]


def one(lines, words):
    assert len(lines) == 1, lines
    assert words in lines[0], lines


@pytest.mark.slow
def test_the_copy_as_it_is_is_fit_for_the_board(own):
    words = ["check", str(own), "--games", "0", "--board", "pico_matrix"]
    result = CliRunner().invoke(app, words, standalone_mode=False)
    assert result.return_value == 0, result.output


def test_a_board_without_its_guard(monkeypatch):
    monkeypatch.setattr(pins, "PINS", tuple(row for row in pins.PINS if row[0] != "guard_feed"))
    one(
        refused("kit_room", "--board", "pico_matrix"),
        "without its independent guard it may not drive coils",
    )


def test_a_guard_pin_that_a_peripheral_could_drive(monkeypatch):
    swapped = {"guard_feed": pins.SWITCH_DATA, "switch_data": pins.GUARD_FEED}
    table = [(row[0], swapped.get(row[0], row[1]), *row[2:]) for row in pins.PINS]
    monkeypatch.setattr(pins, "PINS", tuple(table))
    one(refused("kit_room", "--board", "pico_matrix"), "could be driven by spi0, which the board uses")


def test_two_coils_on_one_pin(own):
    change(
        own / "wiring.py", '("knocker", "queued", 30, 50, 200, 16)', '("knocker", "queued", 30, 50, 200, 3)'
    )
    one(refused(str(own)), "coil 'knocker' has the place 'drive 3', which 'bumper.1' has already")


def test_a_pulse_longer_than_its_winding_bears(own):
    change(own / "host/tables.py", '("knocker", 8.0, 40.0, 26,', '("knocker", 8.0, 40.0, 44,')
    lines = not_energised(str(own))
    assert any(
        "of coil 'knocker' bears" in line and "a pulse of 30 ms is longer than the" in line for line in lines
    )


def test_a_longest_on_time_that_its_winding_does_not_bear(own):
    change(own / "host/tables.py", '("knocker", 8.0, 40.0, 26,', '("knocker", 8.0, 40.0, 36,')
    change(own / "wiring.py", '("knocker", "queued", 30, 50,', '("knocker", "queued", 30, 900,')
    assert any(
        "coil 'knocker' may be on 900 ms by its table; its winding bears" in line
        for line in not_energised(str(own))
    )


def test_a_coil_held_by_pwm_with_a_zener(own):
    change(
        own / "wiring.py",
        '("flipper.left.hold", "flipper", -1, 0, 0, 9)',
        '("flipper.left.hold", "flipper", -1, 0, 0, 25)',
    )
    change(
        own / "host/tables.py",
        '("flipper.left.hold", 400.0, 2000.0, 34, "F", 22.5, "0.25 slow", 0.0)',
        '("flipper.left.hold", 400.0, 2000.0, 34, "F", 22.5, "0.25 slow", 3.0)',
    )
    lines = not_energised(str(own))
    assert any("is held by PWM with a zener clamp, so that nothing holds" in line for line in lines)


def test_a_supply_above_60_volts_without_the_hazard_treatment(own):
    change(own / "host/tables.py", "SUPPLY = (48, 0.3,", "SUPPLY = (70, 0.3,")
    lines = not_energised(str(own))
    assert any(
        "the supply of 70 V DC can reach 77 V, above the 60 V that may be touched" in line for line in lines
    )


def test_a_heat_budget_greater_than_its_winding_bears(own):
    change(own / "wiring.py", '("bumper.1", 11163, 6118, 2)', '("bumper.1", 11163, 6118, 5)')
    one(
        not_energised(str(own)),
        "its winding bears 6118 ms and 2.1 %: write ('bumper.1', 11163, 6118, 2) into HEAT",
    )


def test_fewer_amperes_than_the_coil_draws(own):
    change(own / "wiring.py", '("bumper.1", 11163,', '("bumper.1", 1163,')
    one(not_energised(str(own)), "coil 'bumper.1' counts as 1163 mA for the governor; it draws 11163 mA")


def test_more_amperes_at_once_than_the_supply_bears(own):
    change(own / "wiring.py", "SUPPLY_MA = 48000", "SUPPLY_MA = 90000")
    one(not_energised(str(own)), "SUPPLY_MA of wiring.py is 90000; the coil supply bears 48000 mA at once")


def test_a_row_of_heat_with_too_little_in_it(own):
    change(own / "wiring.py", '("bumper.1", 11163, 6118, 2)', '("bumper.1", 11163)')
    one(
        refused(str(own)), "a row of HEAT has coil, milliamperes, budget and percent, not ('bumper.1', 11163)"
    )


def test_deploy_refuses_the_same(own, monkeypatch, capsys):
    change(own / "host/tables.py", "SUPPLY = (48, 0.3,", "SUPPLY = (70, 0.3,")
    with pytest.raises(GameError, match="above the 60 V that may be touched"):
        CliRunner().invoke(
            app, ["deploy", str(own), "--dry-run"], standalone_mode=False, catch_exceptions=False
        )
    monkeypatch.setattr(sys, "argv", ["inlane", "deploy", str(own), "--dry-run"])
    with pytest.raises(SystemExit) as ended:
        command_line()
    assert ended.value.code == 2
    assert "above the 60 V" in capsys.readouterr().err


def knocker(own, winding):
    """The knocker asks for a second in every one, as a flasher; its winding is another, or none."""
    change(
        own / "wiring.py",
        '("knocker", "queued", 30, 50, 200, 16)',
        '("knocker", "flasher", 1000, 1000, 1, 16)',
    )
    path = own / "host/tables.py"
    lines = [line for line in path.read_text().splitlines() if not line.strip().startswith('("knocker", 8.0')]
    lines.insert(lines.index("COILS = (") + 1, winding)
    path.write_text("\n".join(lines))


ASKED = "coil 'knocker' of class flasher may be on for 1000 ms, and no load is declared that bears it"


def test_a_class_lifts_no_limit(own):
    knocker(own, "")
    change(own / "wiring.py", '    ("knocker", 5783, 9681, 4),\n', "")
    one(not_energised(str(own)), ASKED)


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["flasher", "motor"])
def test_a_minute_s_pulse_is_refused_unless_a_load_is_declared_that_bears_it(own, kind):
    change(
        own / "wiring.py", '("spare", "queued", 20, 30, 300, 24)', f'("spare", "{kind}", 60000, 60000, 1, 24)'
    )
    one(not_energised(str(own)), f"coil 'spare' of class {kind} may be on for 60000 ms, and no load")
    change(
        own / "host/tables.py",
        "COILS = (",
        'COILS = (\n("spare", 480.0, 0.0, 0, "A", 22.5, "0.25 slow", 70.0, 8.0),',
    )
    forget(own)
    one(not_energised(str(own)), "write ('spare', 100, 0, 100) into HEAT of wiring.py")
    change(own / "wiring.py", "HEAT = (", 'HEAT = (("spare", 100, 0, 100),')
    forget(own)
    result = CliRunner().invoke(app, ["check", str(own), "--games", "0"], standalone_mode=False)
    assert result.return_value == 0
    assert result.output.splitlines()[-1].endswith(": may be energised")


def test_a_row_of_heat_for_a_load_that_nobody_declared(own):
    change(own / "wiring.py", "HEAT = (", 'HEAT = (("spare", 100, 0, 100),')
    one(not_energised(str(own)), "HEAT of wiring.py has coil 'spare', whose load is declared nowhere")


SHORT = (
    "coil 'knocker' of 0.2 Ω draws 80 A; a drive switches 24 A, and so few ohms are a short: measure again"
)
BLANK = "coil 'knocker' has no wire gauge and fuse declared: it is not energised"


LOCKED = "a 5 A slow fuse is not promised to open: coil 'knocker' locked on draws"
CUT = "coil 'knocker' may be on for 1000 ms; its drive's on-time stage passes 264 ms at most"
PORT = "/dev/ttyNOWHERE"
CASES = {
    "no winding": ("48", "", ASKED),
    "0.2 ohms at 48 V": ("48", '("knocker", 0.2, 1.0, 24, "F", 22.5, "5 slow", 10.0),', SHORT),
    "3.1 ohms at 34 V, 5 A fuse": ("34", '("knocker", 3.1, 20.0, 24, "F", 22.5, "5 slow", 10.0),', LOCKED),
    "a second on": ("48", '("knocker", 8.0, 40.0, 26, "F", 22.5, "1 slow", 90.0),', CUT),
    "no gauge, no fuse": ("48", '("knocker", 8.0, 40.0, 0, "F", 22.5, "", 10.0),', BLANK),
}


@pytest.fixture(params=CASES)
def burning(own, request):
    """The copy with one coil that would burn, and the sentence that says so."""
    volts, winding, sentence = CASES[request.param]
    knocker(own, winding)
    change(own / "host/tables.py", "SUPPLY = (48, 0.3,", f"SUPPLY = ({volts}, 0.3,")
    return own, sentence


@pytest.fixture
def opened(monkeypatch):
    """The ports that anything opens: none of them is there."""
    found = []

    def never(_self, port, *_more, **_named):
        found.append(port)
        raise LinkError(f"{port} is not there")

    monkeypatch.setattr(Prompt, "__init__", never)
    monkeypatch.setattr(LinkTarget, "__init__", never)
    return found


def run(*words):
    return CliRunner().invoke(app, words, standalone_mode=False, catch_exceptions=False)


def test_commands_that_judge_a_coil_say_the_same_sentence(burning, tmp_path):
    own, sentence = burning
    assert [line for line in not_energised(str(own), "--games", "0") if sentence in line]
    sheets = run("wiring", str(own), "--out", str(tmp_path / "s"))
    assert (sheets.return_value, f"refused: {sentence}" in sheets.output) == (1, True)
    assert f"> - {sentence}" in (tmp_path / "s/wiring.md").read_text()
    heat = run("coil", "--game", str(own))
    assert (heat.return_value, sentence in heat.output) == (1, True)


def test_commands_that_play_say_that_it_may_not_be_energised(burning, tmp_path):
    own, _sentence = burning
    script = str(own / "scripts/ball_in_play_is_shown.play")
    words = f"{own.name} plays; may not be energised: all coils: "
    for command in (
        ["replay", script],
        ["play", str(own), "--script", script, "--picture", str(tmp_path / "p.png")],
    ):
        played = run(*command)
        assert (played.return_value, played.stderr.count(words)) == (0, 1), played.output
        assert words not in played.stdout


@pytest.mark.parametrize(
    "command",
    [
        ["image", "OWN", "--out", "OUT"],
        ["deploy", "OWN", "--dry-run"],
        ["deploy", "OWN", "--drive", "FOLDER"],
        ["deploy", "OWN", "--trial", "--port", PORT],
        ["deploy", "OWN", "--check", "--port", PORT],
        ["bring-up", "OWN", "--coil", "bumper.1", "--port", PORT],
        ["replay", "SCRIPT", "--on", PORT, "--real-time"],
    ],
    ids=" ".join,
)
def test_commands_that_energise_refuse_before_a_port_is_opened(burning, opened, tmp_path, command):
    own, sentence = burning
    given = {
        "OWN": own,
        "OUT": tmp_path / "i.uf2",
        "FOLDER": tmp_path,
        "SCRIPT": own / "scripts/ball_in_play_is_shown.play",
    }
    with pytest.raises(GameError) as raised:
        run(*(str(given.get(word, word)) for word in command))
    assert sentence in raised.value.text
    assert opened == []
    assert not list(tmp_path.glob("*.uf2"))


def test_of_a_game_that_may_be_energised_the_same_commands_open_the_port(opened):
    with pytest.raises(LinkError):
        run("bring-up", "honey_flow", "--coil", "bumper.1", "--port", PORT)
    script = str(games.BUILT_IN / "kit_room/scripts")
    assert run("replay", script, "--on", PORT, "--real-time").return_value == 3
    assert set(opened) == {PORT}


HARNESS = """kind,name,row,column,volts,current,ohms,mh,gauge,winding,diode,common,fuse
switch,Outhole,1,1,,,,,,,to column,,
switch,Left target,1,2,,,,,,,to column,,
coil,Outhole,,,VOLTS,dc,8,40,26,dc,to supply,plus,0.8 slow
coil,knocker,,,VOLTS,dc,OHMS,20,24,dc,to supply,plus,FUSE
"""


@pytest.mark.parametrize(
    ("volts", "ohms", "fuse", "sentence"),
    [
        ("34", "3.1", "5 slow", LOCKED),
        ("48", "0.2", "5 slow", SHORT),
        ("48", "", "5 slow", "coil 'knocker' has no ohms declared: it is not energised"),
    ],
)
def test_the_commands_that_take_a_harness_write_it_and_end_with_1(
    tmp_path, monkeypatch, volts, ohms, fuse, sentence
):
    path = tmp_path / "old.csv"
    path.write_text(HARNESS.replace("VOLTS", volts).replace("OHMS", ohms).replace("FUSE", fuse))
    sheets = run("wiring", "--harness", str(path), "--out", str(tmp_path / "sheets"))
    assert (sheets.return_value, sentence in sheets.stderr) == (1, True)
    assert (tmp_path / "sheets/machine.py").exists()
    monkeypatch.setattr(sys, "path", list(sys.path))
    made = run("new", str(tmp_path / "old_gong"), "--harness", str(path))
    assert (made.return_value, sentence in made.stderr) == (1, True)
    assert "may not be energised until that is mended" in made.stderr
    assert (tmp_path / "old_gong/host/machine.py").exists()


def test_the_demos_say_truly_what_may_be_energised():
    for name, words in (
        ("honey_flow", "may be energised, but for spare: no load is declared, so it stays off"),
        ("kit_room", "may be energised"),
        ("kite_day", "may be energised"),
    ):
        result = CliRunner().invoke(app, ["check", name, "--games", "0"], standalone_mode=False)
        assert (result.return_value, result.output.splitlines()[-1]) == (0, f"{name}: {words}")
