"""The games that come with the kit are machine files, and what is irregular in them is by hand."""

import shutil
import sys
from types import ModuleType

import pytest
from typer.testing import CliRunner

from hil import games
from hil.checks.build import all_findings
from hil.checks.coils import coil_findings
from hil.command import app
from hil.host_tables import merge, merge_keys, merge_rows
from hil.machine import writing
from hil.machine.expanding import FILE, expand
from hil.machine.from_tables import comparing
from hil.machine.printing import table

GAMES = ("honey_flow", "kit_room", "kite_day")
OWN = "machine_of_my_own"


@pytest.fixture
def copied(tmp_path, monkeypatch):
    """A copy of a game as one's own: copied(name) makes it and returns its folder."""
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)

    def copy(name):
        folder = tmp_path / OWN
        shutil.copytree(games.BUILT_IN / name, folder, ignore=shutil.ignore_patterns("__pycache__"))
        for path in folder.rglob("*.py"):
            path.write_text(path.read_text().replace(f"firmware.games.{name}", OWN))
        return folder

    yield copy
    for module in [module for module in sys.modules if module.split(".")[0] == OWN]:
        del sys.modules[module]


def by_hand(folder, name):
    """Turn a copy's made tables into tables by hand, without a machine file."""
    game = games.load(name)
    (folder / FILE).unlink()
    (folder / "host/tables.py").unlink()
    parts = {
        "routes": ("BALLS", "HOME", *comparing.OF_ROUTES),
        "keys": ("KEYS",),
        "coils": ("SUPPLY", "COILS"),
    }
    for file, names in parts.items():
        tables = game.tables(file)
        text = "\n".join("\n".join(_lines(each, getattr(tables, each))) for each in names)
        (folder / f"host/{file}.py").write_text(text + "\n")


def _lines(name, value):
    is_table = isinstance(value, tuple) and name != "SUPPLY"
    return table(name, value) if is_table else [f"{name} = {value!r}"]


def inlane(*arguments):
    return CliRunner().invoke(app, arguments, standalone_mode=False)


@pytest.mark.parametrize("name", GAMES)
def test_their_tables_are_what_their_machine_files_give(name):
    folder = games.BUILT_IN / name
    made, errors = expand(folder / FILE, FILE)
    assert errors == []
    assert writing.stale(folder, made) == []


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", GAMES)
def test_moving_tables_by_hand_over_gives_the_same_tables(name, copied):
    folder = copied(name)
    by_hand(folder, name)
    before = games.load(name)
    result = inlane("machine", str(folder), "--from-tables")
    assert result.return_value == 0, result.output
    assert (folder / FILE).is_file()
    after = games.load(str(folder))
    made, _errors = expand(folder / FILE, FILE)
    assert comparing.wiring_differences(made.wiring, before.wiring) == []
    for table_name in comparing.OF_ROUTES:
        rows = [getattr(game.tables("routes"), table_name) for game in (before, after)]
        assert comparing.same_rows(table_name, *rows), table_name
    assert after.tables("keys").KEYS == before.tables("keys").KEYS
    assert not (folder / "host/coils.py").exists()
    assert [str(finding) for finding in all_findings(str(folder)) if finding.fatal] == []


def test_nothing_is_moved_over_when_a_table_would_differ(copied):
    folder = copied("kit_room")
    by_hand(folder, "kit_room")
    wiring = folder / "wiring.py"
    wiring.write_text(
        wiring.read_text().replace('("coin_meter", "meter", 60,', '("coin_meter", "queued", 60,')
    )
    text = wiring.read_text()
    result = inlane("machine", str(folder), "--from-tables")
    assert result.return_value == 1
    assert "COILS: row 10 is ('coin_meter', 'queued', 60" in result.output
    assert wiring.read_text() == text
    assert not (folder / FILE).exists()


def test_a_machine_file_that_is_there_is_not_written_over(copied):
    result = inlane("machine", str(copied("kit_room")), "--from-tables")
    assert "there is a host/machine.py already" in str(result.exception)


def test_check_refuses_stale_tables_and_says_what_to_run(copied):
    folder = copied("kit_room")
    wiring = folder / "wiring.py"
    text = wiring.read_text()
    wiring.write_text(text.replace('("rush", "red", 1, 1)', '("rush", "blue", 1, 1)'))
    line = text[: text.index('("rush", "red"')].count("\n") + 1
    found = [str(finding) for finding in all_findings(str(folder))]
    assert found == [
        f"{folder}/wiring.py:{line}: it is not what host/machine.py gives; run: inlane machine {folder}"
    ]
    assert inlane("machine", str(folder)).return_value == 0
    assert [str(finding) for finding in all_findings(str(folder)) if finding.fatal] == []


def test_check_and_machine_tell_a_mistake_in_the_machine_file(copied):
    folder = copied("kit_room")
    file = folder / FILE
    text = file.read_text()
    wrong = text.replace('targets("vice"', 'target("vice"').replace('"blue"', '"bleu"')
    file.write_text(wrong)
    numbered = enumerate(text.splitlines(), 1)
    lines = [number for number, line in numbered if '"vice"' in line or '"blue"' in line]
    found = [str(finding) for finding in all_findings(str(folder))]
    assert found == [
        f"{file}:{lines[0]}: there is no kind of line 'target'; did you mean 'targets'?",
        f"{file}:{lines[1]}: lamps has the colour 'bleu'; it takes one of"
        " white, amber, red, green, blue, violet; did you mean 'blue'?",
    ]
    before = (folder / "wiring.py").read_text()
    result = inlane("machine", str(folder))
    assert result.return_value == 2
    assert (folder / "wiring.py").read_text() == before


def test_what_the_sums_say_of_a_coil_is_at_its_device(copied):
    folder = copied("kit_room")
    file = folder / FILE
    file.write_text(file.read_text().replace('awg=23, fuse="1.6 slow"', 'awg=23, fuse="10 slow"'))
    assert inlane("machine", str(folder)).return_value == 0
    line = next(n for n, text in enumerate(file.read_text().splitlines(), 1) if "shooter(" in text)
    found = [finding for finding in all_findings(str(folder), (coil_findings,)) if finding.fatal]
    assert [finding.where for finding in found] == [f"{file}:{line}"]
    assert "auto_plunger" in found[0].text or "10 A slow" in found[0].text


def test_a_game_without_a_machine_file_is_checked_as_it_is(copied):
    folder = copied("kit_room")
    by_hand(folder, "kit_room")
    assert [str(finding) for finding in all_findings(str(folder)) if finding.fatal] == []
    assert "there is no host/machine.py; --from-tables" in str(inlane("machine", str(folder)).exception)


def test_a_row_by_hand_replaces_the_made_one_of_its_name_and_another_is_added():
    made = (("a", 1), ("b", 2))
    assert merge_rows(made, (("b", 3), ("c", 4))) == (("a", 1), ("b", 3), ("c", 4))


def test_keys_by_hand_take_their_key_and_their_function_from_the_made_ones():
    made = (
        ("cabinet", (("tab", "switch", "tilt", "tilt"),)),
        ("shots", (("q", "shot", "one", ""), ("w", "shot", "two", ""), ("e", "shot", "three", ""))),
    )
    own = (("mine", (("w", "shot", "one", ""),)),)
    assert merge_keys(made, own) == (
        ("cabinet", (("tab", "switch", "tilt", "tilt"),)),
        ("shots", (("e", "shot", "three", ""),)),
        ("mine", (("w", "shot", "one", ""),)),
    )


def test_tables_by_hand_are_put_over_the_made_ones():
    made, own = ModuleType("made"), ModuleType("own")
    made.BALLS, made.SHOTS, made.ROUTES = 3, (("plunge", 1),), ()
    own.BALLS, own.SHOTS = 2, (("plunge", 2),)
    own.__file__ = "host/routes.py"
    merged = merge(made, own)
    assert (merged.BALLS, merged.SHOTS, merged.ROUTES) == (2, (("plunge", 2),), ())
    assert merged.__file__ == "host/routes.py"
