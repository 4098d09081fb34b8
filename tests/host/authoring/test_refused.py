"""Descriptions that cannot become a rule: one sentence with file and line, and nothing is written."""

import subprocess
import sys

import pytest

from firmware.base.errors import InlaneError
from hil.authoring import compose, description
from hil.authoring.starter.begin import bare
from hil.authoring.starter.wanted import Wanted

WINDOW = "rule Swell\nkind window\nlit by inlane.left\nmade by ramp\n"
REFUSED = {
    "no rule": ("kind window\n", 1, "stands before the first rule"),
    "nothing": ("# only a remark\n", 0, "no rule is described"),
    "no name": ("rule 4 shots\nkind window\n", 1, "begins with a letter"),
    "no kind": ("rule Swell\n", 1, "rule 'Swell' has no kind"),
    "kind": ("rule Swell\nkind windw\n", 2, "no kind 'windw'; did you mean 'window'?"),
    "kind too late": ("rule Swell\nlit by ramp\nkind window\n", 2, "stands above its other fields"),
    "two kinds": ("rule Swell\nkind window\nkind combo\n", 3, "is of the kind 'window' already"),
    "field": (WINDOW + "pay 5,000\n", 5, "a window has no field 'pay'; did you mean 'pays'?"),
    "said twice": (WINDOW + "for 5 s\nfor 6 s\n", 6, "'for' of rule 'Swell' is said twice"),
    "empty": (WINDOW + "pays\n", 5, "'pays' of rule 'Swell' says nothing"),
    "twice": (WINDOW + WINDOW, 5, "described twice (first in line 1)"),
    "missing": ("rule Swell\nkind window\nlit by ramp\n", 1, "does not say 'made by'; a window needs it"),
    "shot": (WINDOW.replace("inlane.left", "inlan.left"), 3, "did you mean 'inlane.left'?"),
    "points": (WINDOW + "pays lots\n", 5, "takes points such as 10, not 'lots'"),
    "tens": (WINDOW + "pays 1,005\n", 5, "takes points in tens"),
    "too many": (WINDOW + "pays 900,000,000\n", 5, "takes 10 to 100,000,000, not 900,000,000"),
    "time": (WINDOW + "for ever\n", 5, "takes a time such as 14 s, not 'ever'"),
    "half": (WINDOW + "for 2.5 s\n", 5, "takes whole seconds"),
    "choice": (
        WINDOW + "again restart\n",
        5,
        "takes restarts or nothing, not 'restart'; did you mean 'restarts'?",
    ),
    "lamp": (WINDOW + "lamp a b\n", 5, "takes a lamp's name"),
    "coil": (WINDOW + "flasher knoker\n", 5, "did you mean 'knocker'?"),
    "quotes": (WINDOW + 'card A "wave"\n', 5, "takes words without quotes"),
    "lights": (WINDOW + "lights moon\n", 5, "names 'moon', which waits for no 'moon.light'"),
    "switch": (WINDOW.replace("Swell", "Bumper"), 1, "has the name of the switch 'bumper.1'"),
    "state": (WINDOW.replace("Swell", "Lit"), 1, "has a name that charts have for a state"),
    "feature": (WINDOW.replace("Swell", "Ramp way").replace("Ramp way", "Left orbit"), 1, "has a feature"),
    "comma": ("rule Swell\nkind combo\nshots ramp,\n", 3, "ends in a comma, and nothing follows"),
    "row": ("rule Gulls\nkind lanes\nlanes top.1, top.3\n", 3, "side by side"),
    "one": ("rule Gulls\nkind lanes\nlanes standup\n", 3, "takes two switches or more"),
    "falls": (
        "rule Ebb\nkind hurry-up\nlit by ramp\nmade by spinner\nfrom 100\nto 200\n",
        1,
        "it has to fall",
    ),
    "extra ball": ("rule More\nkind extra ball\nlit by ramp\n", 1, "has to be called 'Extra Ball'"),
    "special": ("rule Special\nkind special\n", 1, "describe an 'Extra Ball' above it"),
    "hole": ("rule Fleet\nkind lock and multiball\nlit by ramp\nlocks in standup\n", 1, "is no hole"),
    "room": (
        "rule Fleet\nkind lock and multiball\nlit by ramp\nlocks in saucer\nholds 2\n",
        1,
        "has room for 1",
    ),
    "same shot": (
        "rule Ebb\nkind window\nlit by ramp\nmade by orbit.left, ramp\n",
        1,
        "has 'ramp' for 'lit by' and 'made by'; give one of them another shot",
    ),
    "locks where lit": (
        "rule Fleet\nkind lock and multiball\nlit by saucer\nlocks in saucer\nholds 1\n",
        1,
        "has 'saucer' for 'lit by' and 'locks in'",
    ),
    "jackpot starts": (
        "rule Squall\nkind multiball\nstarted by ramp\njackpot ramp\n",
        1,
        "has 'ramp' for 'started by' and 'jackpot'",
    ),
    "first jackpot": (
        "rule Fleet\nkind lock and multiball\nlit by ramp\nlocks in saucer\nholds 1\nfirst jackpot win pot\n",
        6,
        "names 'pot', which waits for no 'pot.win'",
    ),
    "turns": (
        "rule Buoys\nkind bank\ntargets bank\nby turns moon\n",
        4,
        "'by turns' of rule 'Buoys' names 'moon', which waits for no 'moon.light'",
    ),
    "at": ("rule Buoys\nkind bank\ntargets bank\nat three light moon\n", 4, "such as 3 light extra_ball"),
    "parts": ("rule Haul\nkind bonus\ncounts ramp\nparts spinner\n", 4, "such as 5 spinner"),
    "carried": (
        "rule Haul\nkind bonus\ncounts ramp\ncarried by Moored\n",
        1,
        "has 'carried by Moored', which is no carried bonus above it",
    ),
    "while": ("rule Both\nkind coincidence\nmade by ramp\nwhile Tide is lit\n", 1, "no rule 'tide' above it"),
    "wheel": ("rule Spin\nkind wheel\nturned by ramp\nstops 5,000, 10,000\n", 1, "needs 'wheel_motor'"),
}


def refusal(text, folder):
    """The error of a description for a game with the usual devices."""
    draft = bare(folder, Wanted())
    with pytest.raises(InlaneError) as caught:
        compose.compose(draft, description.read(text, "bad.txt", compose.kinds_and_fields()))
    return caught.value


@pytest.mark.parametrize("name", REFUSED)
def test_a_bad_description_is_refused_in_one_sentence_with_its_line(name, tmp_path):
    text, line, sentence = REFUSED[name]
    error = refusal(text, tmp_path / "some_game")
    assert sentence in error.text
    assert error.where == (f"bad.txt:{line}" if line else "bad.txt")
    assert "\n" not in error.text


def inlane(*arguments):
    code = "from hil.command import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=60,
        input="",
    )


def test_the_command_writes_nothing_unless_every_rule_is_right(tmp_path):
    folder = tmp_path / "quay"
    bare(folder, Wanted()).save()
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    bad = tmp_path / "rules.txt"
    bad.write_text(WINDOW + "\nrule Ebb\nkind window\nlit by ramp\nmade by rmp\n")
    ran = inlane("add", "rule", "--from", bad, "--to", folder)
    assert ran.returncode == 2
    assert ran.stderr.strip().startswith(f"{bad}:9: ")
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_the_command_takes_options_and_never_overwrites(tmp_path):
    folder = tmp_path / "quay"
    bare(folder, Wanted()).save()
    options = ("--to", folder, "--kind", "window", "--lit-by", "inlane.left", "--made-by", "ramp")
    ran = inlane("add", "rule", "Swell", *options)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "features/swell.py" in ran.stdout
    again = inlane("add", "rule", "Swell", *options)
    assert again.returncode == 2
    assert "the game has a feature 'swell' already, in features/swell.py" in again.stderr


def test_a_file_in_the_place_of_a_title_is_told_to_go_with_from(tmp_path):
    bare(tmp_path / "quay", Wanted()).save()
    rules = tmp_path / "rules.txt"
    rules.write_text(WINDOW)
    ran = inlane("add", "rule", rules, "--to", tmp_path / "quay")
    assert ran.returncode == 2
    assert ran.stderr.strip() == (
        f"'{rules}' is a file; the rules that a file describes are added with --from {rules}"
    )


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("Swell", "--kind", "windw"), "did you mean 'window'?"),
        (("Swell", "--kind", "window", "--lit-bi", "x"), "did you mean 'lit-by'?"),
        (("Swell", "--kind", "window", "--pays"), "'--pays' has no value"),
        (("Swell",), "takes its --kind"),
        ((), "nobody is there to be asked"),
        (("--from", "nowhere.txt"), "'nowhere.txt' cannot be read"),
        (("Swell", "--from", "nowhere.txt"), "goes with no name, kind or field"),
    ],
)
def test_bad_options_are_refused_in_one_sentence(arguments, sentence, tmp_path):
    bare(tmp_path / "quay", Wanted()).save()
    ran = inlane("add", "rule", *arguments, "--to", tmp_path / "quay")
    assert ran.returncode == 2
    assert sentence in ran.stderr
    assert len(ran.stderr.strip().splitlines()) == 1
